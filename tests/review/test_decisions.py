"""A coordinator's decisions: what they change, that they can be undone, and who may read why."""

import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.api import Api, catch, reading, visit
from tests.review.held_visits import TUBE, clear_weeks, decide, fahrenheit, murky, outlier


def decisions(api: Api, visit_id: str, key: str = "coordinator") -> list[dict]:
    answer = api.get(f"/v1/visits/{visit_id}/decisions", key)
    assert answer.status_code == 200, answer.text
    return answer.json()["items"]


def test_a_released_visit_is_public_and_its_suspect_reading_stands_as_suspect(api: Api) -> None:
    clear_weeks(api)
    held = api.submit(murky(20))
    assert (held["state"], api.get(f"/v1/visits/{held['visit_id']}").status_code) == ("held", 404)
    decide(api, held["visit_id"], "release", "all classes saw the storm")
    public = api.get(f"/v1/visits/{held['visit_id']}").json()
    (row,) = public["readings"]
    assert (public["state"], row["flag"], row["checks_flag"], row["accepted"]) == ("released", 3, 3, True)


def test_a_released_storm_makes_the_next_one_less_far_from_usual(api: Api) -> None:
    for day in range(1, 13):  # 34 to 78 cm: the median moves with each reading that is added
        row = reading("transparency", 30 + 4 * day, "cm", kit=TUBE)
        api.submit(visit(observed_at=f"2026-03-{day:02}T10:00:00-05:00", readings=[row]))
    storm = api.submit(murky(14, 4))
    before = outlier(api.submit(murky(20, 4)))
    assert (storm["state"], before["flag"]) == ("held", 3)
    decide(api, storm["visit_id"], "release", "a real storm")
    after = outlier(api.submit(murky(21, 4)))["evidence"]
    assert after["references"] == before["evidence"]["references"] + 1 == 13
    assert after["z_own"] < before["evidence"]["z_own"]


def test_a_rejected_visit_is_gone_from_the_public_the_summary_and_the_past(api: Api) -> None:
    clear_weeks(api)
    stored = api.submit(murky(14, 40))
    with_it = api.get("/v1/watersheds/0207/summary").json()["parameters"][0]["readings"]
    assert decide(api, stored["visit_id"], "reject", "typed into the wrong visit")["state"] == "rejected"
    assert api.get(f"/v1/visits/{stored['visit_id']}").status_code == 404
    assert api.get("/v1/watersheds/0207/summary").json()["parameters"][0]["readings"] == with_it - 1 == 12
    assert all(row["visit_id"] != stored["visit_id"] for row in api.every("/v1/readings", "coordinator"))
    assert outlier(api.submit(murky(20)))["evidence"]["references"] == 12


def test_a_set_flag_leaves_the_state_and_what_the_checks_said(api: Api) -> None:
    held = api.submit(fahrenheit())
    answer = decide(api, held["visit_id"], "set-flag", "a hot spring", reading=0, flag=1)
    row = answer["readings"][0]
    assert (answer["state"], answer["flag"], row["flag"], row["checks_flag"]) == ("held", 1, 1, 4)
    assert row["checks"] == held["readings"][0]["checks"]


def test_derived_values_follow_a_set_flag_at_once_and_back(api: Api) -> None:
    sound = api.submit(visit())
    failed = decide(api, sound["visit_id"], "set-flag", "air, not water", reading=0, flag=4)
    assert (failed["flag"], failed["state"], failed["derived"]) == (4, "released", [])
    restored = decide(api, sound["visit_id"], "set-flag", "water after all", reading=0, flag=1)
    assert restored["derived"] == sound["derived"] != []
    assert restored["flag"] == sound["flag"]


def test_scores_without_a_reading_stay_the_same_to_the_last_draw_when_its_flag_is_set(api: Api) -> None:
    sample = catch(("Heptageniidae", 60), ("Chironomidae", 50), ("an unheard of beast", 3), gear="d-net")
    stored = api.submit(visit(catch=sample))
    kept = decide(api, stored["visit_id"], "set-flag", "wrong colour card", reading=1, flag=4)
    read_back = api.get(f"/v1/visits/{stored['visit_id']}", "coordinator").json()

    def untouched(answer: dict) -> dict[str, dict]:
        # reading 1 is pH, which has a criterion
        return {row["index"]: row for row in answer["scores"] if row["index"] != "criteria-met"}

    assert {"oxygen-saturation", "family-biotic-core"} <= set(untouched(stored))
    assert untouched(kept) == untouched(read_back) == untouched(stored)


def test_letters_of_abundance_are_scored_again_as_letters(api: Api) -> None:
    letters = {
        "count_scheme": "rcd-1-10-100",
        "counts": [{"taxon": "mayfly", "abundance": "C"}, {"taxon": "leech", "abundance": "R"}],
    }
    stored = api.submit(visit(catch=letters))
    kept = decide(api, stored["visit_id"], "set-flag", reading=1, flag=2)
    assert {row["index"]: row for row in kept["scores"]} == {row["index"]: row for row in stored["scores"]}


def test_decisions_are_undone_by_decisions_and_all_of_them_stay(api: Api) -> None:
    stored = api.submit(visit())
    visit_id = stored["visit_id"]
    steps = [("reject", {}), ("release", {}), ("set-flag", {"reading": 1, "flag": 3}),
             ("set-flag", {"reading": 1, "flag": 1})]  # fmt: skip
    for number, (action, more) in enumerate(steps):
        last = decide(api, visit_id, action, f"step {number}", **more)
    assert last == api.get(f"/v1/visits/{visit_id}", "coordinator").json()
    assert {key: last[key] for key in ("state", "flag", "readings", "derived")} == {
        key: stored[key] for key in ("state", "flag", "readings", "derived")
    }
    rows = decisions(api, visit_id)
    assert [row["reason"] for row in rows] == ["step 0", "step 1", "step 2", "step 3"]
    assert [(row["state_before"], row["state"]) for row in rows[:2]] == [
        ("released", "rejected"), ("rejected", "released"),
    ]  # fmt: skip
    assert [(row["reading"], row["flag_before"], row["flag"]) for row in rows[2:]] == [(1, 1, 3), (1, 3, 1)]


def test_a_doubt_of_the_coordinator_ends_what_a_release_let_stand(api: Api) -> None:
    clear_weeks(api)
    stored = api.submit(murky(14))
    decide(api, stored["visit_id"], "release")
    doubted = decide(api, stored["visit_id"], "set-flag", reading=0, flag=3)
    assert (doubted["state"], doubted["readings"][0]["accepted"]) == ("released", False)
    assert outlier(api.submit(murky(20)))["evidence"]["references"] == 12
    decide(api, stored["visit_id"], "release", "settled")
    assert outlier(api.submit(murky(21)))["evidence"]["references"] == 13
    assert not decide(api, stored["visit_id"], "reject")["readings"][0]["accepted"]


@pytest.mark.parametrize(
    ("body", "pointers"),
    [
        ({"action": "release"}, ["/reason"]),
        ({"action": "release", "reason": ""}, ["/reason"]),
        ({"action": "release", "reason": "  \n"}, ["/reason"]),
        ({"action": "release", "reason": "x" * 1001}, ["/reason"]),
        ({"action": "burn", "reason": "x"}, ["/action"]),
        ({"action": "release", "reason": "x", "flag": 1}, ["/flag"]),
        ({"action": "reject", "reason": "x", "reading": 0, "flag": 1}, ["/reading", "/flag"]),
        ({"action": "set-flag", "reason": "x"}, ["/reading", "/flag"]),
        ({"action": "set-flag", "reason": "x", "reading": 0}, ["/flag"]),
        ({"action": "set-flag", "reason": "x", "flag": 1}, ["/reading"]),
        ({"action": "set-flag", "reason": "x", "reading": 3, "flag": 1}, ["/reading"]),
        ({"action": "set-flag", "reason": "x", "reading": -1, "flag": 1}, ["/reading"]),
        ({"action": "set-flag", "reason": "x", "reading": "0", "flag": 1}, ["/reading"]),
        ({"action": "set-flag", "reason": "x", "reading": 0, "flag": 9}, ["/flag"]),
        ({"action": "set-flag", "reason": "x", "reading": 0, "flag": True}, ["/flag"]),
        ({"action": "release", "reason": "x", "why": "y"}, ["/why"]),
    ],
)
def test_a_decision_that_breaks_a_rule_names_it_and_changes_nothing(
    api: Api, body: dict, pointers: list[str]
) -> None:
    stored = api.submit(visit())
    answer = api.post(f"/v1/visits/{stored['visit_id']}/decisions", body)
    assert answer.status_code == 422
    assert [error["pointer"] for error in answer.json()["errors"]] == pointers
    assert all(error["message"] for error in answer.json()["errors"])
    assert api.get(f"/v1/visits/{stored['visit_id']}", "heron").json() == stored
    assert decisions(api, stored["visit_id"]) == []


def test_a_reading_that_was_not_measured_has_no_flag_to_set(api: Api) -> None:
    stored = api.submit(visit(readings=[reading("nitrate", None, "mg/L as N"), reading("ph", 7)]))
    body = {"action": "set-flag", "reading": 0, "flag": 1, "reason": "x"}
    answer = api.post(f"/v1/visits/{stored['visit_id']}/decisions", body)
    assert answer.status_code == 422
    assert "not measured" in answer.json()["errors"][0]["message"]


@pytest.mark.parametrize(
    "body",
    [
        {"action": "release"},
        {"action": "set-flag", "reading": 0, "flag": 1},
        {"action": "reject", "revision": 2},
    ],
)
def test_what_is_already_so_or_was_changed_since_is_refused(api: Api, body: dict) -> None:
    stored = api.submit(visit())
    answer = api.post(f"/v1/visits/{stored['visit_id']}/decisions", body | {"reason": "sent twice"})
    assert answer.status_code == 409
    assert decisions(api, stored["visit_id"]) == []


def test_a_decision_on_the_revision_that_counts_is_taken(api: Api) -> None:
    stored = api.submit(visit())
    assert decide(api, stored["visit_id"], "reject", revision=1)["state"] == "rejected"


@pytest.mark.parametrize(("key", "status"), [(None, 401), ("reader", 403), ("heron", 403), ("otter", 403)])
def test_only_the_coordinator_decides(api: Api, key: str | None, status: int) -> None:
    stored = api.submit(visit())
    body = {"action": "reject", "reason": "x"}
    assert api.post(f"/v1/visits/{stored['visit_id']}/decisions", body, key).status_code == status
    assert api.get(f"/v1/visits/{stored['visit_id']}").json()["state"] == "released"


def test_the_own_school_reads_the_reason_and_nobody_else_does(api: Api) -> None:
    stored = api.submit(visit(notes="the gate code is kestrel", team="period-3"))
    decide(api, stored["visit_id"], "set-flag", "the card had faded", reading=1, flag=3)
    address = f"/v1/visits/{stored['visit_id']}/decisions"
    (seen,) = decisions(api, stored["visit_id"], "heron")
    assert (seen["reason"], seen["key_id"]) == ("the card had faded", None)
    assert uuid.UUID(decisions(api, stored["visit_id"])[0]["key_id"])
    assert [api.get(address, key).status_code for key in (None, "reader", "otter")] == [401, 403, 404]
    public = api.get(f"/v1/visits/{stored['visit_id']}").text
    assert not [private for private in ("faded", "kestrel", "period-3") if private in public]


def test_a_visit_that_is_not_there_cannot_be_decided(api: Api) -> None:
    body = {"action": "release", "reason": "x"}
    assert api.post(f"/v1/visits/{uuid.uuid4()}/decisions", body).status_code == 404
    assert api.get(f"/v1/visits/{uuid.uuid4()}/decisions", "coordinator").status_code == 404


def test_the_same_decision_sent_from_many_places_at_once_is_taken_once(api: Api) -> None:
    stored = api.submit(visit())
    address, body = f"/v1/visits/{stored['visit_id']}/decisions", {"action": "reject", "reason": "x"}
    with ThreadPoolExecutor(12) as pool:
        answers = list(pool.map(lambda _: int(api.post(address, body).status_code), range(12)))
    assert sorted(answers) == [200] + [409] * 11
    assert len(decisions(api, stored["visit_id"])) == 1
