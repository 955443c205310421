"""Asking the network: what was asked for, each once over the pages, and nothing that is not for the asker."""

import json
import uuid
from datetime import date, timedelta

import pytest

from service.core.schema import Answer
from service.network.schemas import ReadingPage, ScorePage, VisitPage
from tests.api import Api, catch, reading, visit

CATCH = catch(("Heptageniidae", 60), ("Chironomidae", 50))


@pytest.fixture
def filled(api: Api) -> Api:
    return api.once(_enter_visits)


def _enter_visits(api: Api) -> None:
    """Three sites in two watersheds, five days each, every visit with a catch; one of them held."""
    for site, key in (("reed-01", "otter"), ("reed-02", "heron"), ("fern-01", "otter")):
        for day in range(5):
            on = date(2026, 3, 1) + timedelta(days=day)
            api.submit(visit(site, f"{on}T10:00:00-05:00", catch=CATCH), key)
    api.submit(visit("reed-02", "2026-03-03T12:00:00-05:00", readings=[reading("ph", 15)], catch=CATCH))


@pytest.mark.parametrize(
    ("query", "sites", "days"),
    [
        ("watershed=0207", {"reed-01", "reed-02"}, 5),
        ("watershed=huc:020700100103", {"reed-01", "reed-02"}, 5),
        ("watershed=207", {"reed-01", "reed-02"}, 5),
        ("watershed=0208", {"fern-01"}, 5),
        ("watershed=02", {"reed-01", "reed-02", "fern-01"}, 5),
        ("watershed=0209", set(), 0),
        ("watershed=pfafstetter:2", set(), 0),
        ("watershed=02&from=2026-03-02&to=2026-03-03", {"reed-01", "reed-02", "fern-01"}, 2),
        ("from=2026-03-05", {"reed-01", "reed-02", "fern-01"}, 1),
        ("to=2026-03-01", {"reed-01", "reed-02", "fern-01"}, 1),
        ("site=reed-01", {"reed-01"}, 5),
        ("stream=reed", {"reed-01", "reed-02"}, 5),
        ("school=otter", {"reed-01", "fern-01"}, 5),
        ("state=held", set(), 0),
    ],
)
@pytest.mark.parametrize("address", ["/v1/visits", "/v1/readings", "/v1/scores"])
def test_every_filter_keeps_what_it_says(
    filled: Api, address: str, query: str, sites: set[str], days: int
) -> None:
    rows = filled.every(f"{address}?{query}&limit=1000")
    assert {row["site"] for row in rows} == sites
    assert len({row["observed_on"] for row in rows}) == days


@pytest.mark.parametrize(
    ("address", "page"), [("/v1/visits", VisitPage), ("/v1/readings", ReadingPage), ("/v1/scores", ScorePage)]
)
@pytest.mark.parametrize("key", [None, "heron", "coordinator"])
def test_a_page_is_what_its_model_says(
    filled: Api, address: str, page: type[Answer], key: str | None
) -> None:
    sent = filled.get(address, key)
    written_by_model = page.model_validate_json(sent.content).model_dump_json()
    assert sent.json() == json.loads(written_by_model)
    assert list(sent.json()["items"][0]) == list(json.loads(written_by_model)["items"][0])


@pytest.mark.parametrize("address", ["/v1/visits", "/v1/readings", "/v1/scores"])
@pytest.mark.parametrize("limit", [1, 2, 3, 7, 1000])
def test_pages_of_any_size_give_each_row_once_in_the_same_order(
    filled: Api, address: str, limit: int
) -> None:
    whole = filled.get(f"{address}?watershed=0207&limit=1000").json()
    assert whole["next"] is None
    assert filled.every(f"{address}?watershed=0207&limit={limit}") == whole["items"]


def test_a_limit_beyond_the_maximum_is_clamped_and_said_in_next(filled: Api) -> None:
    answer = filled.get("/v1/readings?limit=100000")
    assert answer.status_code == 200
    first = filled.get("/v1/readings?limit=2&watershed=0207").json()
    assert "limit=2" in first["next"]
    assert "watershed=0207" in first["next"]


def test_the_next_page_is_in_the_link_header_too(filled: Api) -> None:
    answer = filled.get("/v1/scores?limit=2")
    assert answer.headers["link"] == f'<{answer.json()["next"]}>; rel="next"'


def test_a_row_inserted_while_pages_are_turned_repeats_and_hides_nothing(filled: Api) -> None:
    before = {row["visit_id"] for row in filled.every("/v1/visits")}
    page = filled.get("/v1/visits?limit=4").json()
    filled.submit(visit("reed-02", "2026-03-01T08:00:00-05:00"))
    rest = filled.every(page["next"])
    seen = [row["visit_id"] for row in page["items"] + rest]
    assert len(seen) == len(set(seen))
    assert before <= set(seen) | {page["items"][0]["visit_id"]}


def test_held_visits_show_only_to_their_school_and_the_coordinator(filled: Api) -> None:
    def states(key: str | None) -> list[str]:
        return sorted(row["state"] for row in filled.every("/v1/visits", key) if row["site"] == "reed-02")

    assert states(None) == states("otter") == states("reader") == ["released"] * 5
    assert states("heron") == states("coordinator") == ["held"] + ["released"] * 5


@pytest.mark.parametrize(
    ("query", "count"),
    [("parameter=ph", 15), ("parameter=ph&flag=4", 0), ("flag=1", 45), ("parameter=nitrate", 0)],
)
def test_readings_by_parameter_and_flag(filled: Api, query: str, count: int) -> None:
    assert len(filled.every(f"/v1/readings?{query}")) == count


def test_scores_by_index_and_band(filled: Api) -> None:
    rows = filled.every("/v1/scores?index=family-biotic-extended")
    assert len(rows) == 15
    # (60 x 4 + 50 x 6) / 110 = 4.909, half up to 4.91: good, 4.26 to 5.00 (Hilsenhoff 1988, from memory).
    assert {(row["value"], row["band"]) for row in rows} == {(4.91, "good")}
    assert filled.every("/v1/scores?index=family-biotic-extended&band=poor") == []


def test_a_visit_row_carries_its_readings_and_scores_in_short(filled: Api) -> None:
    row = filled.get("/v1/visits?site=reed-01&limit=1").json()["items"][0]
    assert [short["parameter"] for short in row["readings"]] == [
        "water_temperature",
        "ph",
        "dissolved_oxygen",
    ]
    assert {short["index"] for short in row["scores"]} >= {"streamside-survey", "taxa-richness"}


def test_the_public_sees_no_time_of_day_team_or_notes(api: Api) -> None:
    stored = api.submit(visit(team="period-3", notes="the gate code is kestrel"))
    for address in ("/v1/visits", "/v1/readings", f"/v1/visits/{stored['visit_id']}"):
        for key in (None, "reader", "otter"):
            text = api.get(address, key).text
            assert "kestrel" not in text
            assert "period-3" not in text
            assert "10:15" not in text
            assert "15:15" not in text
    assert "kestrel" in api.get(f"/v1/visits/{stored['visit_id']}", "coordinator").text


def test_a_visit_that_is_not_there_and_one_not_for_the_asker_answer_alike(filled: Api) -> None:
    (held,) = filled.every("/v1/visits?state=held", "coordinator")
    hidden = filled.get(f"/v1/visits/{held['visit_id']}", "otter")
    absent = filled.get(f"/v1/visits/{uuid.uuid4()}", "otter")
    assert hidden.status_code == absent.status_code == 404
    assert hidden.json()["detail"] == absent.json()["detail"]
    assert filled.get(f"/v1/visits/{held['visit_id']}", "heron").status_code == 200
