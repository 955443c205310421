"""The coordinator's work list: what is held, in which order, and all that a decision needs on one screen."""

import pytest
from sqlalchemy import event

from service.core.paging import write_cursor
from tests.api import Api, Json, catch, reading, visit
from tests.review.held_visits import TUBE, clear_weeks, decide, fahrenheit, murky

DEAD_FISH = {"conditions": {"dead_fish": True, "rain_48h_mm": 4.0}}


def suspect(team: str, **more: object) -> Json:
    return visit(readings=[reading("specific_conductance", 50_000, "uS/cm")], team=team) | more


def review(api: Api, query: str = "") -> list[Json]:
    return api.every(f"/v1/review{query}", "coordinator")


def teams(items: list[Json]) -> list[str]:
    return [item["team"] for item in items]


@pytest.fixture
def waiting(api: Api) -> Api:
    """Five held visits, handed in from the least to the most urgent but for two that are alike."""
    api.submit(suspect("suspect-older"))
    api.submit(suspect("suspect-newer"))
    api.submit(suspect("suspect-alert", **DEAD_FISH))
    api.submit(fahrenheit() | {"team": "fail"})
    api.submit(fahrenheit() | {"team": "fail-alert"} | DEAD_FISH)
    api.submit(visit(team="good"))
    return api


ORDER = ["fail-alert", "fail", "suspect-alert", "suspect-older", "suspect-newer"]


def test_the_worst_comes_first_then_alerts_then_who_waits_longest(waiting: Api) -> None:
    assert teams(review(waiting)) == ORDER


@pytest.mark.parametrize("limit", [1, 2, 4, 5, 100_000])
def test_pages_of_any_size_give_each_held_visit_once(waiting: Api, limit: int) -> None:
    assert teams(review(waiting, f"?limit={limit}")) == ORDER


def test_an_alert_that_was_seen_no_longer_comes_before_others(waiting: Api) -> None:
    first = review(waiting)[0]
    address = f"/v1/alerts/{first['visit_id']}/fish-kill/acknowledge"
    assert waiting.post(address, None).status_code == 200
    assert teams(review(waiting))[:2] == ["fail", "fail-alert"]


def test_a_decided_visit_leaves_the_list_and_a_set_flag_moves_it_down(waiting: Api) -> None:
    worst, second, *_ = review(waiting)
    decide(waiting, worst["visit_id"], "reject")
    decide(waiting, second["visit_id"], "set-flag", reading=0, flag=1)
    left = review(waiting)
    assert teams(left) == [*ORDER[2:], "fail"]
    assert [row["action"] for row in left[-1]["decisions"]] == ["set-flag"]
    assert [row["flag"] for row in left[-1]["readings"]] == [1]  # still shown: a check doubted it


@pytest.mark.parametrize(
    ("query", "found"),
    [
        ("watershed=0207", 1), ("watershed=0208", 1), ("watershed=02", 2), ("site=fern-01", 1),
        ("school=otter", 1), ("school=heron", 1), ("from=2026-03-13", 1), ("to=2026-03-12", 1),
        ("from=2026-04-01", 0), ("stream=reed", 1),
    ],
)  # fmt: skip
def test_filters_keep_what_they_say(api: Api, query: str, found: int) -> None:
    api.submit(suspect("a"))
    api.submit(suspect("b", site="fern-01", observed_at="2026-03-13T10:00:00-04:00"), "otter")
    assert len(review(api, f"?{query}")) == found


def test_an_item_holds_what_a_decision_needs(api: Api) -> None:
    clear_weeks(api, 14)
    for day, value in ((18, 66), (30, 64)):
        row = reading("transparency", value, "cm", kit=TUBE)
        api.submit(visit("reed-01", f"2026-03-{day}T10:00:00-04:00", readings=[row]), "otter")
    row = reading("transparency", 60, "cm", kit=TUBE)
    api.submit(visit("fern-01", "2026-03-18T10:00:00-04:00", readings=[row]), "otter")
    rows = [reading("ph", 7), reading("transparency", 9, "cm", kit=TUBE)]
    more = {"readings": rows, "team": "period-3", "notes": "the bank has slid", **DEAD_FISH}
    stored = api.submit(murky(20, **more))

    (item,) = review(api)
    assert item["visit_id"] == stored["visit_id"]
    assert (item["site_name"], item["school"], item["observed_on"]) == ("Reed-02", "heron", "2026-03-20")
    assert (item["team"], item["notes"]) == ("period-3", "the bank has slid")
    assert item["conditions"]["rain_48h_mm"] == 4.0
    assert [alert["alert"] for alert in item["alerts"]] == ["fish-kill"]
    assert [(other["reading"], other["parameter"]) for other in item["other_readings"]] == [(0, "ph")]

    (doubted,) = item["readings"]
    assert (doubted["reading"], doubted["value"], doubted["unit"], doubted["flag"]) == (1, 9.0, "cm", 3)
    assert (doubted["low"], doubted["high"]) == (7.0, 11.0)  # the tube is good to 2 cm: common practice
    assert doubted["written"] == {"value": 9.0, "unit": "cm", "censored": None}
    kit = doubted["kit"]
    assert (kit["code"], kit["step"], kit["accuracy"], kit["upper"]) == (TUBE, 1.0, 2.0, 120.0)
    finding = next(found for found in doubted["findings"] if found["check"] == "site-outlier")
    assert finding in stored["readings"][1]["checks"]
    assert finding["message"]
    assert finding["advice"]

    history = [past["observed_on"] for past in doubted["history"]]
    assert history == [f"2026-03-{day:02}" for day in range(14, 2, -1)]  # the newest twelve of fourteen
    assert doubted["history"][0] == {
        "observed_on": "2026-03-14", "value": 70.0, "censored": None, "kit": TUBE, "flag": 1,
    }  # fmt: skip
    # reed-01 lies in the same ten-digit unit and was read two days before; fern-01 lies in another.
    assert [(near["site"], near["value"]) for near in doubted["neighbours"]] == [("reed-01", 66.0)]


def test_history_leaves_out_what_was_rejected_and_what_is_in_doubt(api: Api) -> None:
    clear_weeks(api, 8)
    doubtful = api.submit(murky(10))
    rejected = api.submit(murky(11, 69))
    accepted = api.submit(murky(12))
    decide(api, rejected["visit_id"], "reject")
    decide(api, accepted["visit_id"], "release")
    api.submit(murky(20, 69, team="the-other-team"))
    api.submit(murky(20))
    api.submit(murky(21, 69))
    by_day = {item["observed_on"]: item for item in review(api)}
    history = by_day["2026-03-20"]["readings"][0]["history"]
    assert [(row["observed_on"], row["flag"]) for row in history[:3]] == [
        ("2026-03-20", 1),
        ("2026-03-12", 3),
        ("2026-03-08", 1),
    ]
    decide(api, doubtful["visit_id"], "set-flag", reading=0, flag=1)
    item = next(item for item in review(api) if item["visit_id"] == doubtful["visit_id"])
    assert item["readings"][0]["history"][0]["observed_on"] == "2026-03-08"  # a reading is not its own past


def test_each_visit_on_a_page_has_its_own_neighbours(api: Api) -> None:
    clear_weeks(api)
    clear_weeks(api, site="fern-01", key="otter")
    more = {"name": "Fern", "school": "otter", "watershed": {"scheme": "huc", "code": "020801020305"}}
    assert api.post("/v1/sites", {"code": "fern-02"} | more).status_code == 201
    for site, day, value in (("reed-01", 17, 61), ("reed-01", 24, 62), ("fern-02", 23, 63)):
        row = reading("transparency", value, "cm", kit=TUBE)
        api.submit(visit(site, f"2026-03-{day}T10:00:00-04:00", readings=[row]), "otter")
    api.submit(murky(20, team="reed-early"))
    api.submit(murky(21, team="reed-late"))
    api.submit(murky(20, site="fern-01", team="fern"), "otter")
    near = {
        item["team"]: [found["value"] for found in item["readings"][0]["neighbours"]] for item in review(api)
    }
    assert near == {"reed-early": [61.0], "reed-late": [62.0], "fern": [63.0]}


def test_doubts_about_the_whole_visit_are_told(api: Api) -> None:
    api.submit(visit(team="twin"))
    api.submit(visit(team="twin", notes="typed in again"))
    (item,) = review(api)
    assert item["readings"] == []
    assert [found["check"] for found in item["visit_findings"]] == ["visit-clock"]


def test_a_duplicate_and_a_blank_that_are_held_wait_here_too(api: Api) -> None:
    api.submit(suspect("duplicate", kind="field-replicate"))
    assert [(item["kind"], item["team"]) for item in review(api)] == [("field-replicate", "duplicate")]


def test_a_page_asks_the_database_no_more_for_many_visits_than_for_two(api: Api) -> None:
    clear_weeks(api, 9)
    for day in range(10, 16):
        api.submit(murky(day, catch=catch(("mayfly", 4))))
    engine = api.client.app.state.engine

    def statements(limit: int) -> int:
        asked: list[str] = []

        def note(*arguments: object) -> None:
            asked.append(str(arguments[2]))

        event.listen(engine, "before_cursor_execute", note)
        answer = api.get(f"/v1/review?limit={limit}", "coordinator")
        event.remove(engine, "before_cursor_execute", note)
        assert len(answer.json()["items"]) == min(limit, 6)
        return len(asked)

    assert statements(2) == statements(6) <= 10


@pytest.mark.parametrize(("key", "status"), [(None, 401), ("reader", 403), ("heron", 403)])
def test_the_list_is_the_coordinators(waiting: Api, key: str | None, status: int) -> None:
    answer = waiting.get("/v1/review", key)
    assert answer.status_code == status
    assert answer.json()["detail"]


WHEN, WHICH = "2026-03-12T10:00:00+00:00", "01a21054-9471-782f-aa6a-bfc84f77d402"


@pytest.mark.parametrize(
    "key",
    [
        [0, 0, WHEN, "x"],
        [0, 0, "x", WHICH],
        [0, 0, WHEN[:19], WHICH],
        [0, 0, "9999" + WHEN[4:], WHICH],
        [3, 0, WHEN, WHICH],
        [0, 10**30, WHEN, WHICH],
        [0, 0, WHEN],
        [],
    ],
)
def test_a_forged_cursor_is_refused(api: Api, key: list) -> None:
    assert api.get(f"/v1/review?cursor={write_cursor(key)}", "coordinator").status_code == 400


@pytest.mark.parametrize(
    "query", ["limit=0", "cursor=x", "cursor=WzEsMSwiYSIsImIiXQ", "state=held", "from=now", "school=%00"]
)
def test_a_bad_parameter_is_refused(api: Api, query: str) -> None:
    assert api.get(f"/v1/review?{query}", "coordinator").status_code == 400
