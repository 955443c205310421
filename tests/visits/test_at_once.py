"""At the same moment: no edit is lost, no visit doubled, and a walk through a list meets each row once.

The long forms stand in `tests/soak/`.
"""

from concurrent.futures import ThreadPoolExecutor
from threading import Event

from tests.api import Api, visit
from tests.visits.at_once import edit_at_once, hand_in_at_once


def test_every_edit_that_was_accepted_is_a_revision_and_the_others_are_told(api: Api) -> None:
    visit_id = api.submit(visit())["visit_id"]
    answered, unseen = edit_at_once(api, visit_id, writers=8, edits=6)
    final = api.get(f"/v1/visits/{visit_id}", "heron").json()["revision"]
    assert set(answered) <= {200, 412}
    assert sum(answered.values()) == 8 * 6
    assert answered[200] == final - 1
    assert unseen == [0] * answered[200]


def test_the_same_visit_sent_fifty_times_at_once_is_one_visit(api: Api) -> None:
    answers = hand_in_at_once(api, callers=50)
    assert sorted(status for status, _ in answers) == [200] * 49 + [201]
    assert all(answer == answers[0][1] for _, answer in answers)
    assert len(api.every("/v1/visits")) == 1


def test_a_walk_meets_each_visit_once_while_others_come_in_and_are_changed(api: Api) -> None:
    def on_day(day: int, minute: int = 15) -> str:
        return f"2026-03-{day:02}T10:{minute:02}:00-04:00"

    first = [api.submit(visit(observed_at=on_day(day)))["visit_id"] for day in range(10, 22)]
    done = Event()

    def disturb() -> None:
        turn = 0
        while not done.is_set():
            turn += 1
            api.submit(visit(observed_at=on_day(10 + turn % 12, turn % 60), team=f"t-{turn}"))
            target = f"/v1/visits/{first[turn % len(first)]}"
            seen = api.get(target, "heron").headers["etag"]
            body = visit(observed_at=on_day(10 + turn % len(first)), notes=f"turn {turn}")
            api.call("PUT", target, "heron", json=body, headers={"If-Match": seen})

    with ThreadPoolExecutor(1) as pool:
        disturbing = pool.submit(disturb)
        try:
            walks = [[row["visit_id"] for row in api.every("/v1/visits?limit=2")] for _ in range(3)]
        finally:
            done.set()
        disturbing.result()
    for met in walks:
        assert len(met) == len(set(met))
        assert set(first) <= set(met)
