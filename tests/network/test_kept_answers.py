"""What lies ready in memory: the same bytes as made anew, nobody else's, never older than the last commit."""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

import pytest
from fastapi.testclient import TestClient
from sqlalchemy import Engine

from service.app import create_app
from service.core.settings import Settings
from service.schools.unchanged import quarter_hour
from tests.api import Api, catch, reading, visit
from tests.network.test_unchanged import CHANGES, statements

CALLERS = (None, "reader", "heron", "otter", "coordinator")
LISTS = (
    "/v1/visits", "/v1/readings?limit=2", "/v1/readings.csv", "/v1/scores.ndjson", "/v1/sites", "/v1/kits",
    "/v1/exports/readings.csv", "/v1/exports/visits.parquet", "/v1/watersheds/0207/summary", "/v1/changes",
    "/v1/sites/latest", "/v1/sites/latest.csv", "/ogc/collections/sites/items",
    "/ogc/collections/readings/items",
)  # fmt: skip
LISTS_BY_CALLER = ("/v1/visits", "/v1/readings.csv", "/v1/sites", "/v1/sites/latest", "/v1/exports/sites.csv")
WHOLE = {"Accept-Encoding": "identity"}
OF_THE_REQUEST = {"x-request-id"}


@pytest.fixture(scope="session")
def second_process(migrated_database: tuple[Engine, Any]) -> Iterator[Callable[[int], TestClient]]:
    """A worker beside the one under test, by the MiB of room that it has for answers."""
    url = migrated_database[0].url.render_as_string(hide_password=False)
    apps = {room: create_app(Settings(database_url=url, kept_answers_mib=room)) for room in (0, 32)}
    with TestClient(apps[0]) as without, TestClient(apps[32]) as with_room:
        yield lambda room: with_room if room else without


@pytest.fixture
def no_memory(api: Api, second_process: Callable[[int], TestClient]) -> Api:
    return replace(api, client=second_process(0))


def asks_for_rows(asked: list[str]) -> bool:
    return any("FROM change" not in one and "school_key" not in one for one in asked if "SELECT" in one)


def said(answer: Any) -> tuple[int, bytes, dict[str, str]]:
    return (
        answer.status_code,
        answer.content,
        {k: v for k, v in answer.headers.items() if k not in OF_THE_REQUEST},
    )


def enter(api: Api) -> str:
    """Hand in a visit with a score, and one that is held: only its school and the coordinator see it."""
    api.submit(visit(catch=catch(("Heptageniidae", 60), ("Chironomidae", 50))))
    return str(api.submit(visit("reed-01", readings=[reading("ph", 15)]), "otter")["visit_id"])


@pytest.mark.parametrize("address", LISTS)
def test_the_same_question_again_costs_no_rows(api: Api, address: str) -> None:
    enter(api)
    first = api.call("GET", address, headers=WHOLE)
    with statements(api) as asked:
        second = api.call("GET", address, headers=WHOLE)
    assert first.status_code == 200
    assert said(second) == said(first)
    assert not asks_for_rows(asked)


def test_nobody_is_given_what_another_sees(api: Api, no_memory: Api) -> None:
    enter(api)
    for address in LISTS_BY_CALLER:
        for caller in CALLERS:
            api.get(address, caller)
        for caller in CALLERS:
            assert api.get(address, caller).content == no_memory.get(address, caller).content, (
                address,
                caller,
            )
    seen = {caller: api.get("/v1/visits", caller).content for caller in CALLERS}
    assert len({seen[caller] for caller in ("reader", "heron", "otter", "coordinator")}) == 4


@pytest.mark.parametrize("name", CHANGES)
def test_after_every_change_all_see_it_at_once(api: Api, no_memory: Api, name: str) -> None:
    held = api.submit(visit(readings=[reading("ph", 15)]))["visit_id"]
    lists = ("/v1/visits", "/v1/readings.csv", "/v1/sites/latest", "/v1/exports/visits.ndjson")
    asked = [(address, caller) for address in lists for caller in (None, "heron", "coordinator")]
    before = [api.get(*one).content for one in asked]
    CHANGES[name](api, held)
    after = [api.get(*one).content for one in asked]
    assert after == [no_memory.get(*one).content for one in asked]
    assert after != before


def test_a_place_that_is_made_coarser_is_seen_so_at_once(api: Api) -> None:
    addresses = ("/v1/sites", "/v1/sites/latest", "/ogc/collections/sites/items", "/v1/exports/sites.csv")
    assert all("40.123" in api.get(address).text for address in addresses)
    assert (
        api.call("PATCH", "/v1/sites/reed-01", "coordinator", json={"public_decimals": 1}).status_code == 200
    )
    for address in addresses:
        assert api.get(address).text.count("40.123") == 2, address


def test_another_worker_sees_a_commit_at_once(api: Api, second_process: Callable[[int], TestClient]) -> None:
    other = replace(api, client=second_process(32))
    done = api.submit(visit())
    assert len(other.get("/v1/visits").json()["items"]) == 1
    assert api.call("DELETE", f"/v1/visits/{done['visit_id']}", "heron").status_code == 200
    assert other.get("/v1/visits").json()["items"] == []


def test_a_key_that_was_revoked_gets_nothing_that_lies_ready(api: Api) -> None:
    made = api.post("/v1/keys", {"role": "reader", "label": "lost"}).json()
    assert api.get("/v1/visits", made["key"]).status_code == 200
    assert api.call("DELETE", f"/v1/keys/{made['id']}", "coordinator").status_code == 200
    assert api.get("/v1/visits", "reader").status_code == 200  # it lies ready now for all readers
    assert api.get("/v1/visits", made["key"]).status_code == 401


@pytest.mark.parametrize(
    ("address", "headers"),
    [
        ("/v1/readings", {"Accept": "text/csv"}),
        ("/v1/readings", {"Accept": "application/x-ndjson"}),
        ("/v1/readings?f=csv", {}),
        ("/v1/readings?limit=2", {}),
        ("/v1/readings?limit=1", {"Host": "streams.example.org"}),
        ("/v1/readings", {"Accept-Encoding": "identity"}),
        ("/v1/exports/readings.csv", {"Range": "bytes=3-40"}),
    ],
)
def test_what_changes_the_bytes_is_part_of_the_question(
    api: Api, no_memory: Api, address: str, headers: dict[str, str]
) -> None:
    enter(api)
    for _ in range(2):
        api.get("/v1/readings?limit=1")
        api.get(address)
        answers = [one.call("GET", address, headers=headers) for one in (api, no_memory)]
        assert answers[0].content == answers[1].content
        assert answers[0].headers["content-type"] == answers[1].headers["content-type"]


@pytest.mark.parametrize("address", ["/v1/readings.csv", "/v1/exports/readings.csv"])
def test_who_asks_first_for_a_part_or_for_the_head_spoils_nothing(
    api: Api, no_memory: Api, address: str
) -> None:
    enter(api)
    first = (("GET", {"Range": "bytes=3-9"}), ("HEAD", {}), ("GET", {"Accept-Encoding": "gzip"}))
    for day, (method, headers) in enumerate(first, 1):
        asked = f"{address}?to=2099-12-0{day}"
        api.call(method, asked, headers=headers)
        answer, made_anew = (one.call("GET", asked, headers=WHOLE) for one in (api, no_memory))
        assert (answer.status_code, answer.content) == (200, made_anew.content)
        assert answer.headers["content-length"] == made_anew.headers["content-length"]


def test_formats_asked_for_in_two_lines_are_both_heeded(api: Api) -> None:
    lines = [("Accept", "application/json;q=0.1"), ("Accept", "text/csv")]
    api.client.get("/v1/readings", headers=lines[:1])
    assert api.client.get("/v1/readings", headers=lines).headers["content-type"].startswith("text/csv")


@pytest.mark.parametrize("address", ["/v1/visits?cursor=nonsense", "/v1/sites/none/trend?parameter=ph"])
def test_a_refusal_is_made_anew_each_time(api: Api, address: str) -> None:
    first, second = api.get(address), api.get(address)
    assert first.status_code == second.status_code >= 400
    assert first.json()["request_id"] != second.json()["request_id"]


def test_no_date_changes_anywhere_within_a_quarter_of_an_hour() -> None:
    """By the zones of the IANA database as this Python has them."""
    quarter = timedelta(minutes=15)
    for name in available_timezones():
        for month in (1, 7):
            offset = datetime(2026, month, 1, tzinfo=ZoneInfo(name)).utcoffset()
            assert offset is not None
            assert offset % quarter == timedelta(0), name


@pytest.mark.parametrize(
    ("now", "same"), [("10:14:59", True), ("10:00:00", True), ("10:15:00", False), ("09:59:59", False)]
)
def test_ages_are_counted_anew_in_the_next_quarter(now: str, same: bool) -> None:
    quarter = quarter_hour(datetime.fromisoformat("2026-03-12T10:07:30+00:00"))
    assert (quarter_hour(datetime.fromisoformat(f"2026-03-12T{now}+00:00")) == quarter) is same
    assert quarter_hour(datetime.fromisoformat("2026-03-13T10:07:30+00:00")) != quarter
