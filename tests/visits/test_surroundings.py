"""What the register knows around a visit reaches the checks: neighbours, duplicates, boxes of kits."""

from datetime import date, timedelta

import pytest
from sqlalchemy import event

from tests.api import Api, catch, reading, visit

FIRST_DAY = date(2026, 3, 1)
SITES = ("near-1", "near-2", "near-3", "near-4")


def depth(site: str, day: int, depth_cm: float) -> dict:
    on = FIRST_DAY + timedelta(days=day)
    rows = [reading("transparency", depth_cm, "cm", kit="transparency-tube-120")]
    return visit(site, f"{on}T10:00:00-05:00", readings=rows)


def outlier_check(answer: dict) -> dict:
    return next(row for row in answer["readings"][0]["checks"] if row["check"] == "site-outlier")


@pytest.fixture
def neighbours(api: Api) -> Api:
    return api.once(_enter_neighbours)


def _enter_neighbours(api: Api) -> None:
    """Four sites of one watershed read on the same twenty days, between 66 and 74 cm."""
    for site in SITES:
        watershed = {"scheme": "huc", "code": "020700100205"}
        body = {"code": site, "name": site, "school": "heron", "watershed": watershed}
        assert api.post("/v1/sites", body).status_code == 201
    for day in range(20):
        for number, site in enumerate(SITES):
            api.submit(depth(site, day, 68 + (day * 7 + number * 3) % 7))


def test_a_storm_that_all_neighbours_saw_is_no_slip(neighbours: Api) -> None:
    for site in SITES[:3]:
        assert outlier_check(neighbours.submit(depth(site, 20, 14)))["flag"] == 3 or site != SITES[0]
    check = outlier_check(neighbours.submit(depth(SITES[3], 20, 13)))
    assert check["flag"] == 1
    assert check["evidence"]["neighbours"] == 3
    assert "moved the same way" in check["message"]


def test_a_slip_that_no_neighbour_shares_is_suspect(neighbours: Api) -> None:
    for site in SITES[:3]:
        neighbours.submit(depth(site, 20, 70))
    check = outlier_check(neighbours.submit(depth(SITES[3], 20, 7)))
    assert check["flag"] == 3
    assert check["evidence"]["z_residual"] > check["evidence"]["threshold_residual"]
    assert "did not move like that" in check["message"]


def test_neighbours_of_another_week_or_watershed_say_nothing(neighbours: Api) -> None:
    evidence = outlier_check(neighbours.submit(depth(SITES[3], 24, 70)))["evidence"]
    assert evidence["neighbours"] == 0
    assert outlier_check(neighbours.submit(depth("reed-02", 19, 70)))["evidence"].get("neighbours", 0) == 0


def test_asking_the_surroundings_takes_two_questions(neighbours: Api) -> None:
    statements: list[str] = []
    engine = neighbours.client.app.state.engine

    def note(*told: object) -> None:
        statements.append(str(told[2]))

    event.listen(engine, "before_cursor_execute", note)
    neighbours.submit(depth(SITES[3], 22, 70))
    event.remove(engine, "before_cursor_execute", note)
    asked = [text for text in statements if text.startswith("SELECT") and "reading" in text]
    assert len(asked) == 2


def test_a_box_of_another_school_or_kit_is_refused(api: Api) -> None:
    lot = {"school": "heron", "code": "box-7", "kit": "ph-tablet-comparator", "expires_on": "2026-12-31"}
    assert api.post("/v1/kit-lots", lot, "heron").status_code == 201
    assert api.post("/v1/kit-lots", lot, "heron").status_code == 409
    assert api.post("/v1/kit-lots", lot | {"school": "otter"}, "heron").status_code == 403
    for site, key, kit in (
        ("reed-01", "otter", "ph-tablet-comparator"),
        ("reed-02", "heron", "ph-comparator-wide"),
    ):
        rows = [reading("ph", 7, kit=kit, kit_lot="box-7")]
        answer = api.post("/v1/visits", visit(site, readings=rows), key)
        assert answer.status_code == 422
        assert answer.json()["errors"][0]["pointer"] == "/readings/0/kit_lot"
    named = reading("ph", 7, kit="ph-tablet-comparator", kit_lot="box-7")
    assert api.submit(visit(readings=[named]))["readings"][0]["kit_lot"] == "box-7"


def test_boxes_are_listed_to_their_own_school(api: Api) -> None:
    for school in ("heron", "otter"):
        api.post("/v1/kit-lots", {"school": school, "code": "box-1", "kit": "ph-meter"}, school)
    assert [row["school"] for row in api.every("/v1/kit-lots", "heron")] == ["heron"]
    assert [row["school"] for row in api.every("/v1/kit-lots?limit=1", "coordinator")] == ["heron", "otter"]


def test_a_blank_or_a_duplicate_feeds_no_reference(api: Api) -> None:
    for kind in ("field-blank", "field-replicate"):
        for day in range(9):
            api.submit(depth("reed-02", day, 70) | {"kind": kind})
    check = outlier_check(api.submit(depth("reed-02", 12, 70)))
    assert (check["flag"], check["evidence"]["references"]) == (2, 0)


def test_alerts_are_told_to_the_school_with_cautions_and_not_to_the_public(api: Api) -> None:
    rows = [reading("dissolved_oxygen", 1, "mg/L", censored="<", kit="oxygen-ampoule-comparator")]
    net = catch(("zebra mussel", 2), ("mayfly", 4))
    answer = api.submit(visit(readings=rows, catch=net, conditions={"dead_fish": True}))
    assert {alert["alert"] for alert in answer["alerts"]} == {
        "very-low-oxygen",
        "fish-kill",
        "invasive-animal",
    }
    assert all(alert["cautions"] for alert in answer["alerts"])
    public = api.submit(visit(readings=[reading("ph", 7)], catch=catch(("zebra mussel", 2)), team="b"))
    assert api.get(f"/v1/visits/{public['visit_id']}").json()["alerts"] == []
