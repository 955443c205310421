"""A file is judged as its visits would be one at a time, stored batch by batch, and never by halves."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from sqlalchemy import Engine, event
from sqlalchemy.exc import OperationalError

from service.intake.imports import take_in
from service.visits import tried
from tests.api import Api, Json, catch, reading, visit
from tests.databases import read_content, restore_content
from tests.intake.imports.files import fates, send_lines

on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
OWN = {"key_id", "received_at", "raised_at", "at"}  # who and when, which differ as they must


def season(day: int, site: str, **more: Any) -> Json:
    """A visit of many: the water as it goes through March, on some days with a slip or with animals."""
    water = 4 + day % 3 / 2
    readings = [
        reading("water_temperature", 50 if day == 24 else water, "degC", kit="thermometer-alcohol"),
        reading("dissolved_oxygen", 11.5 - day % 3 / 2, "mg/L", kit="oxygen-drop-count"),
        reading("transparency", 60 + day * 7 % 9, "cm", kit="transparency-tube-120"),
        *([reading("ph", 7, kit="card")] if day % 8 else []),
    ]
    if day % 12 == 0:
        more["catch"] = catch(("mayfly", 5 if day == 12 else 4 + day), ("stonefly", 3), ("midge", 9))
    at = f"2026-{3 + day // 28:02}-{1 + day % 28:02}T10:15:00-05:00"
    return visit(site, at, readings=readings) | more


def network_of_neighbours(api: Api) -> None:
    """A site of heron beside reed-02, a kit of the network's own, a box, and a criterion that begins late."""
    watershed = {"scheme": "huc", "code": "020700100103"}
    site = {"code": "reed-03", "name": "Reed", "school": "heron", "watershed": watershed, "elevation_m": 120}
    assert api.post("/v1/sites", site).status_code == 201
    kit = {
        "code": "card", "name": "Card", "kind": "strip", "parameter": "ph", "unit": "std units",
        "lower": 4, "upper": 9, "marks": [4, 5, 6, 7, 8, 9], "reads_zero": False,
    }  # fmt: skip
    assert api.post("/v1/kits", kit).status_code == 201
    limit = {
        "code": "our-ph", "name": "pH", "parameter": "ph", "unit": "std units", "at_least": 7.5,
        "applies_from": "2026-03-15", "source": "a rule",
    }  # fmt: skip
    assert api.post("/v1/criteria", limit).status_code == 201
    box = {"school": "heron", "code": "box-a", "kit": "nitrate-zinc-comparator"}
    assert api.post("/v1/kit-lots", box).status_code == 201


def all_visits() -> list[Json]:
    sites = ("reed-02", "reed-03")
    found = [season(day, site) for day in range(0, 40, 4) for site in sites]
    twice = visit("reed-03", "2026-03-25T10:15:00-05:00", team="a")
    nitrate = reading("nitrate", 1, "mg/L as N", kit="nitrate-zinc-comparator", kit_lot="box-a")
    blank = visit("reed-03", "2026-03-26T10:15:00-05:00", kind="field-blank", readings=[nitrate])
    after = visit("reed-03", "2026-03-27T10:15:00-05:00", readings=[nitrate])
    double = visit("reed-02", "2026-03-05T10:15:00-05:00", kind="field-replicate")
    numbered = [*found, twice, twice | {"notes": "again"}, blank, after, double]
    return [
        one | {"visit_id": f"019c2f4e-0000-7000-8000-{number:012}"}
        for number, one in sorted(enumerate(numbered), key=lambda pair: pair[1]["observed_at"])
    ]


def shown(row: dict[str, Any]) -> str:
    content = {name: value for name, value in row.items() if name not in OWN}
    content.get("evidence", {}).pop("minutes_ahead", None)  # counted from when it was handed in
    return str(sorted(content.items()))


def without_own(engine: Engine) -> dict[str, list[Any]]:
    """Return what stands in the tables of visits, but for who stored it and when."""
    return {
        table.name: sorted(map(shown, rows))
        for table, rows in read_content(engine)
        if table.name not in ("change", "change_counter", "access_key")
    }


def test_a_file_comes_out_as_its_visits_do_one_at_a_time(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    api.once(network_of_neighbours)
    before = read_content(api.engine)
    for body in all_visits():
        api.submit(body, "heron")
    one_at_a_time = without_own(api.engine)
    restore_content(api.engine, before)
    monkeypatch.setattr(take_in, "BATCH", 7)
    latest_first = sorted(all_visits(), key=lambda body: str(body["observed_at"]), reverse=True)
    report = send_lines(api, *latest_first)
    assert {"stored", "held"} == set(fates(report))
    assert without_own(api.engine) == one_at_a_time
    compared = [row for row in one_at_a_time["finding"] if "site-outlier" in row and "'anomaly'" in row]
    assert len(compared) > 5


def judged(report: Json) -> list[Any]:
    """Return all that is said of rows and visits, a dry run in the words of the run."""
    said = json.dumps([report["rows"], report["visits"]])
    for dry, wet in (("would_store", "stored"), ("would_hold", "held")):
        said = said.replace(f'"{dry}"', f'"{wet}"')
    rows, visits = json.loads(said)
    return [{key: told for key, told in one.items() if key != "advice"} for one in (*rows, *visits)]


@on_sqlite
def test_a_dry_run_says_of_every_row_what_the_run_then_says(
    api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    api.once(network_of_neighbours)
    monkeypatch.setattr(take_in, "BATCH", 7)
    bodies = all_visits()[-14:]
    dry = send_lines(api, *bodies, dry_run="true")
    assert api.every("/v1/visits", "coordinator") == []
    assert api.get("/v1/kit-lots", "coordinator").json()["items"][0]["blank_failed_on"] is None
    assert judged(dry) == judged(send_lines(api, *bodies))
    doubts = {one["check"] for visit in dry["visits"] for one in visit["doubts"]}
    # Both speak of an earlier row of the same file: the same moment twice, and a box whose blank failed.
    assert {"visit-clock", "reagent-age"} <= doubts
    corrected = [body | {"team": "b"} for body in bodies[-6:]]
    dry = send_lines(api, *corrected, dry_run="true", revise="true")
    wet = send_lines(api, *corrected, revise="true")
    assert [one["doubts"] for one in dry["visits"]] == [one["doubts"] for one in wet["visits"]]


@on_sqlite
def test_a_dry_run_that_cannot_remember_all_rows_says_from_which_on(
    api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tried, "MOST_ROWS", 7)
    dry = send_lines(api, *four_days(), dry_run="true")
    told = [
        [one["reason"][:44] for one in row["remarks"] if "so long a file" in one["reason"]]
        for row in dry["rows"]
    ]
    assert told == [[], [], ["from here on a dry run of so long a file no "], []]


@pytest.fixture
def meanwhile(monkeypatch: pytest.MonkeyPatch) -> Callable[[Callable[[str], None]], None]:
    """Let somebody do something each time that a file has come a step further, one visit to a batch."""
    monkeypatch.setattr(take_in, "BATCH", 1)
    usual = take_in.take_in

    def let(do: Callable[[str], None]) -> None:
        monkeypatch.setattr("service.intake.imports.routes.take_in", lambda *parts: usual(*parts, do))

    return let


@on_sqlite
def test_what_another_hands_in_meanwhile_is_seen_by_the_next_batch(
    api: Api, meanwhile: Callable[[Callable[[str], None]], None]
) -> None:
    first, second = (visit(observed_at=f"2026-03-{day}T10:15:00-05:00") for day in (12, 13))

    def by_hand(told: str) -> None:
        if told == "1 of 2 visits":
            api.submit(second | {"notes": "by hand"})

    meanwhile(by_hand)
    report = send_lines(api, first, second)
    assert fates(report) == ["stored", "held"]
    assert [one["check"] for one in report["visits"][1]["doubts"]] == ["visit-clock"]


def four_days(**more: Any) -> list[Json]:
    return [visit(observed_at=f"2026-03-{day}T10:15:00-05:00", **more) for day in (11, 12, 13, 14)]


@pytest.fixture
def failing(api: Api, monkeypatch: pytest.MonkeyPatch) -> Any:
    """Let the last insert of a visit fail from the third one on, with what is given."""
    monkeypatch.setattr(take_in, "BATCH", 1)
    errors: list[BaseException] = []
    seen: list[int] = []

    def fail(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if statement.startswith("INSERT INTO change "):
            seen.append(1)
            if len(seen) > 2 and errors:
                raise errors[0]

    event.listen(api.client.app.state.engine, "before_cursor_execute", fail)
    yield errors
    event.remove(api.client.app.state.engine, "before_cursor_execute", fail)


@pytest.mark.parametrize(
    ("trouble", "reason"),
    [
        (OperationalError("insert", {}, Exception("database is locked")), "did not answer"),
        (RuntimeError("a check has a fault"), "the service failed"),
    ],
    ids=["database", "fault"],
)
def test_a_batch_that_fails_is_told_and_nothing_of_it_is_half_stored(
    api: Api, failing: list[BaseException], trouble: Exception, reason: str
) -> None:
    failing.append(trouble)
    report = send_lines(api, *four_days())
    assert fates(report) == ["stored", "stored", "refused", "refused"]
    for row in report["rows"][2:]:
        assert reason in row["problems"][0]["reason"]
    assert len(api.every("/v1/visits", "heron")) == 2
    failing.clear()
    assert fates(send_lines(api, *four_days())) == ["known", "known", "stored", "stored"]


@pytest.mark.parametrize("backend", ["postgresql"], indirect=True, scope="session")
def test_a_visit_that_another_stores_at_this_moment_is_known(api: Api) -> None:
    """SQLite lets no other write meanwhile."""
    engine = api.client.app.state.engine
    body = visit(visit_id="019c2f4e-0000-7000-8000-000000000001")
    others: list[Json] = []

    def first(_connection: Any, _cursor: Any, statement: str, *_: Any) -> None:
        if statement.startswith("INSERT INTO visit ") and not others:
            others.append({})
            others.append(api.submit(body))

    event.listen(engine, "before_cursor_execute", first)
    try:
        report = send_lines(api, body, visit(team="b"))
    finally:
        event.remove(engine, "before_cursor_execute", first)
    assert len(others) == 2
    assert fates(report) == ["known", "stored"]


@on_sqlite
def test_nobody_waits_for_a_lock_while_a_file_is_read_or_between_its_batches(
    api: Api, meanwhile: Callable[[Callable[[str], None]], None]
) -> None:
    handed_in = []
    meanwhile(lambda told: handed_in.append(api.submit(visit(team=f"t{len(handed_in)}"))["state"]))
    assert fates(send_lines(api, *four_days())) == ["stored"] * 4
    assert len(handed_in) == 5


def test_reports_quote_no_more_than_needed_and_logs_nothing(
    api: Api, caplog: pytest.LogCaptureFixture
) -> None:
    secret = "zebra-lantern " * 20
    report = send_lines(api, json.dumps(visit(site=secret)), visit(notes=secret))
    assert len(report["rows"][0]["problems"][0]["value"]) <= 80
    assert "zebra-lantern" not in caplog.text
