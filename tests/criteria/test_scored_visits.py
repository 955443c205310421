"""From readings handed in to scores of the readings: saturation, and the criteria of the site on the day."""

import pytest

from tests.api import Api, reading, visit

DROPS = {"unit": "mg/L", "kit": "oxygen-drop-count"}
# The default for cold water is 8 mg/L, for warm water 5 mg/L (US EPA 440/5-86-003, 1-day minimum).
OUR_OXYGEN = {
    "code": "our-oxygen", "name": "Our oxygen", "parameter": "dissolved_oxygen", "unit": "mg/L",
    "at_least": 6.0, "applies_from": "2026-03-01", "source": "a rule of the state",
}  # fmt: skip


def readings(oxygen: float = 7.0) -> list[dict]:
    return [
        reading("water_temperature", 6.5, "degC", kit="thermometer-alcohol"),
        reading("ph", 7.5, kit="ph-comparator-wide"),
        reading("dissolved_oxygen", oxygen, **DROPS),
    ]


def scores(answer: dict) -> dict[str, dict]:
    return {score["index"]: score for score in answer["scores"]}


def set_class(api: Api, water_class: str | None) -> None:
    answer = api.call("PATCH", "/v1/sites/reed-02", "coordinator", json={"water_class": water_class})
    assert answer.status_code == 200


@pytest.fixture
def cold(api: Api) -> Api:
    set_class(api, "cold")
    return api


def test_a_visit_with_readings_only_is_scored_and_reads_back_alike(cold: Api) -> None:
    stored = cold.submit(visit(readings=readings()))
    met, saturation = stored["scores"]
    assert [met["index"], saturation["index"]] == ["criteria-met", "oxygen-saturation"]
    # 7 mg/L at 6.5 degC and 120 m: saturation 12.115 mg/L (Benson & Krause 1984, worked out apart), 57.8 %.
    assert (saturation["value"], saturation["band"], saturation["standing"]) == (58.0, "low", "rated")
    assert saturation["low"] < 58 < saturation["high"]
    assert saturation["inputs"] == ["dissolved_oxygen", "water_temperature"]
    assert (met["value"], met["band"], met["standing"]) == (67.0, "does not meet a value", "rated")
    assert met["inputs"] == [
        "dissolved-oxygen-cold: at least 8 mg/L", "water-temperature-cold: at most 20 °C", "ph: 6.5 to 9",
    ]  # fmt: skip
    assert met["reasons"][0].startswith(
        "dissolved oxygen 7 mg/L: the criterion is at least 8 mg/L; the kit's"
    )
    assert cold.get(f"/v1/visits/{stored['visit_id']}", "heron").json() == stored
    assert {row["index"] for row in cold.every("/v1/scores")} == {"oxygen-saturation", "criteria-met"}


@pytest.mark.parametrize(("water_class", "value", "tests"), [("warm", 100.0, 3), (None, 100.0, 1)])
def test_the_water_class_of_the_site_decides(
    api: Api, water_class: str | None, value: float, tests: int
) -> None:
    set_class(api, water_class)
    met = scores(api.submit(visit(readings=readings())))["criteria-met"]
    assert (met["value"], len(met["inputs"])) == (value, tests)
    assert any("water class is not known" in reason for reason in met["reasons"]) == (water_class is None)


@pytest.mark.parametrize(
    ("observed_at", "used"),
    [
        ("2026-03-12T10:15:00-05:00", "our-oxygen: at least 6 mg/L"),
        # still the last of February at the site
        ("2026-03-01T04:30:00Z", "dissolved-oxygen-cold: at least 8 mg/L"),
    ],
)
def test_the_networks_own_criterion_applies_from_its_first_local_day(
    cold: Api, observed_at: str, used: str
) -> None:
    assert cold.post("/v1/criteria", OUR_OXYGEN).status_code == 201
    met = scores(cold.submit(visit(observed_at=observed_at, readings=readings())))["criteria-met"]
    assert met["inputs"][0] == used


def test_what_was_scored_keeps_the_criteria_it_was_scored_with(cold: Api) -> None:
    stored = cold.submit(visit(readings=readings()))
    assert cold.post("/v1/criteria", OUR_OXYGEN).status_code == 201
    assert cold.get(f"/v1/visits/{stored['visit_id']}", "heron").json()["scores"] == stored["scores"]
    later = cold.submit(visit(readings=readings(), team="period-4"))
    assert scores(later)["criteria-met"]["value"] == 100.0


def test_a_duplicate_is_scored_and_a_blank_is_not(cold: Api) -> None:
    cold.submit(visit(readings=readings()))
    duplicate = cold.submit(visit(readings=readings(), kind="field-replicate", team="b"))
    assert set(scores(duplicate)) == {"oxygen-saturation", "criteria-met"}
    nitrate = [reading("nitrate", 0, "mg/L as NO3", kit="nitrate-strip")]
    assert cold.submit(visit(readings=nitrate, kind="field-blank"))["scores"] == []


def test_a_failed_reading_is_never_scored_and_a_decision_brings_it_back(cold: Api) -> None:
    rows = readings()
    rows[1] = reading("ph", 15, kit="ph-comparator-wide")
    held = cold.submit(visit(readings=rows))
    assert held["state"] == "held"
    assert "ph: 6.5 to 9" not in scores(held)["criteria-met"]["inputs"]
    stored = cold.submit(visit(readings=readings(), team="b"))
    body = {"action": "set-flag", "reading": 2, "flag": 4, "reason": "old tablets"}
    decided = cold.post(f"/v1/visits/{stored['visit_id']}/decisions", body)
    assert decided.status_code == 200
    after = scores(cold.get(f"/v1/visits/{stored['visit_id']}", "heron").json())
    assert "oxygen-saturation" not in after
    assert after["criteria-met"]["value"] == 100.0


def test_a_suspect_reading_makes_its_scores_provisional_until_somebody_lets_it_stand(cold: Api) -> None:
    stored = cold.submit(visit(readings=readings()))
    visit_id = stored["visit_id"]
    body = {"action": "set-flag", "reading": 2, "flag": 3, "reason": "bubble in the bottle"}
    assert cold.post(f"/v1/visits/{visit_id}/decisions", body).status_code == 200
    doubted = scores(cold.get(f"/v1/visits/{visit_id}", "heron").json())
    assert [doubted[index]["standing"] for index in ("oxygen-saturation", "criteria-met")] == [
        "provisional"
    ] * 2
    assert "a check is in doubt about the dissolved oxygen" in doubted["oxygen-saturation"]["reasons"]
    let_stand = body | {"flag": 1, "reason": "repeated and right"}
    assert cold.post(f"/v1/visits/{visit_id}/decisions", let_stand).status_code == 200
    assert cold.get(f"/v1/visits/{visit_id}", "heron").json()["scores"] == stored["scores"]
