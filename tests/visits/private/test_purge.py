"""What is private and older than the network keeps it is removed, and it is said how much that was."""

import uuid
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
import sqlalchemy as sa
from sqlmodel import col

from service.cli import main
from service.schools.once import KEPT_DAYS
from service.schools.tables import AnsweredOnce
from service.visits.private.purge import BATCH
from service.visits.tables import VisitRevision
from tests.api import Api, Json, visit
from tests.databases import read_content

Purge = Callable[..., list[str]]
PLACE = {"latitude": 40.1234567, "longitude": -75.6543219}
ANSWERS = "answers kept for repeated requests"


@pytest.fixture
def purge(monkeypatch: pytest.MonkeyPatch, database_url: str, capsys: pytest.CaptureFixture[str]) -> Purge:
    """Run the command with days for notes and places, and return what it said."""

    def run(*arguments: str, notes: int = 0, places: int = 0) -> list[str]:
        monkeypatch.setenv("WADEBOOK_DATABASE_URL", database_url)
        monkeypatch.setenv("WADEBOOK_NOTES_KEPT_DAYS", str(notes))
        monkeypatch.setenv("WADEBOOK_PLACES_KEPT_DAYS", str(places))
        capsys.readouterr()
        assert main(["purge", *arguments]) == 0
        said = capsys.readouterr()
        assert said.err == ""
        return said.out.splitlines()

    return run


def aged(api: Api, days: float, **more: Any) -> str:
    """Hand in a visit, as if it had arrived some days ago, and return its address."""
    visit_id = api.submit(visit(**more))["visit_id"]
    arrived = datetime.now(UTC) - timedelta(days=days)
    mine = sa.update(VisitRevision).where(col(VisitRevision.visit_id) == uuid.UUID(visit_id))
    with api.engine.begin() as connection:
        connection.execute(mine.values(received_at=arrived))
    return f"/v1/visits/{visit_id}"


def handed_in(api: Api, address: str) -> list[Json]:
    return [one["handed_in"] for one in api.get(f"{address}/revisions", "heron").json()["items"]]


def changes(api: Api) -> list[tuple[str, str]]:
    rows = api.get("/v1/audit", "coordinator").json()["items"]
    return [(row["subject_id"], row["what"]) for row in rows if "purged" in row["what"]]


def test_each_part_goes_when_it_is_older_than_it_is_kept(api: Api, purge: Purge) -> None:
    old = aged(api, 31, team="a", notes="gate code kestrel", place=PLACE)
    young = aged(api, 29, team="b", notes="gate code kestrel", place=PLACE)
    bare = aged(api, 31, team="c")
    public = api.every("/v1/readings")
    said = purge(notes=30, places=30)
    assert said == ["notes: 1 removed", "places: 1 removed", f"{ANSWERS}: 0 removed"]
    assert [(one["notes"], one["place"], one["team"]) for one in handed_in(api, old)] == [(None, None, "a")]
    assert [(one["notes"], one["place"]) for one in handed_in(api, young)] == [("gate code kestrel", PLACE)]
    visit_id = old.rpartition("/")[2]
    assert changes(api) == [(visit_id, "places purged"), (visit_id, "notes purged")]
    assert bare.rpartition("/")[2] not in str(changes(api))
    assert api.every("/v1/readings") == public
    assert purge(notes=30, places=30)[:2] == ["notes: 0 removed", "places: 0 removed"]


def test_an_old_revision_goes_and_the_young_one_stays(api: Api, purge: Purge) -> None:
    address = aged(api, 31, notes="gate code kestrel")
    corrected = visit(notes="the gate is open")
    assert api.call("PUT", address, "heron", json=corrected, headers={"If-Match": "*"}).status_code == 200
    assert purge(notes=30)[0] == "notes: 1 removed"
    assert [one["notes"] for one in handed_in(api, address)] == [None, "the gate is open"]


def test_without_settings_notes_and_places_are_kept_for_ever(api: Api, purge: Purge) -> None:
    address = aged(api, 30_000, notes="gate code kestrel", place=PLACE)
    assert purge() == [f"{ANSWERS}: 0 removed"]
    assert [(one["notes"], one["place"]) for one in handed_in(api, address)] == [("gate code kestrel", PLACE)]


def test_a_dry_run_says_how_much_and_changes_nothing(api: Api, purge: Purge) -> None:
    aged(api, 31, team="a", notes="gate code kestrel", place=PLACE)
    aged(api, 31, team="b", notes="gate code kestrel")
    before = read_content(api.engine)
    assert purge("--dry-run", notes=30, places=30) == [
        "notes: 2 would be removed",
        "places: 1 would be removed",
        f"{ANSWERS}: 0 would be removed",
    ]
    assert [rows for _, rows in read_content(api.engine)] == [rows for _, rows in before]


def test_kept_answers_go_after_their_days_and_not_before(api: Api, purge: Purge) -> None:
    now = datetime.now(UTC)
    with api.engine.begin() as connection:
        for days in (KEPT_DAYS - 1, KEPT_DAYS + 1):
            row = AnsweredOnce(
                caller="k", token=str(days), address="x", content_hash="x", at=now - timedelta(days=days)
            )
            connection.execute(sa.insert(AnsweredOnce).values(row.model_dump()))
    assert purge("--dry-run") == [f"{ANSWERS}: 1 would be removed"]
    assert purge() == [f"{ANSWERS}: 1 removed"]
    assert purge() == [f"{ANSWERS}: 0 removed"]
    with api.engine.connect() as connection:
        assert connection.execute(sa.select(col(AnsweredOnce.token))).all() == [(str(KEPT_DAYS - 1),)]


def test_a_purged_visit_that_is_sent_again_is_still_known(api: Api, purge: Purge) -> None:
    body: dict[str, Any] = {"visit_id": str(uuid.uuid4()), "notes": "gate code kestrel"}
    aged(api, 31, **body)
    purge(notes=30)
    assert api.post("/v1/visits", visit(**body), "heron").status_code == 200
    assert "kestrel" not in str(read_content(api.engine))


def test_more_than_a_batch_is_removed_whole_and_each_visit_is_in_the_record_of_changes(
    api: Api, purge: Purge
) -> None:
    aged(api, 31, notes="gate code kestrel")
    stored = {table.name: (table, rows) for table, rows in read_content(api.engine)}
    ids = [uuid.uuid4() for _ in range(2 * BATCH)]
    with api.engine.begin() as connection:
        for name, key in (("visit", "id"), ("visit_revision", "visit_id")):
            table, (row,) = stored[name]
            text = not isinstance(row[key], uuid.UUID)  # as SQLite keeps it
            connection.execute(table.insert(), [row | {key: one.hex if text else one} for one in ids])
    assert purge(notes=30)[0] == f"notes: {len(ids) + 1} removed"
    assert "kestrel" not in str(read_content(api.engine))
    trail = api.every("/v1/audit?limit=1000", "coordinator")
    purged = [row["subject_id"] for row in trail if row["what"] == "notes purged"]
    assert len(purged) == len(set(purged)) == len(ids) + 1
    assert {str(one) for one in ids} <= set(purged)
