"""Handing in a visit: what the class is told, what is stored, and that sending again is safe."""

import uuid
from concurrent.futures import ThreadPoolExecutor

import pytest

from tests.api import Api, catch, reading, visit


def flags(answer: dict) -> dict[str, int]:
    return {row["parameter"]: row["flag"] for row in answer["readings"]}


def checks(answer: dict, position: int) -> dict[str, dict]:
    return {row["check"]: row for row in answer["readings"][position]["checks"]}


def test_a_good_visit_is_released_with_flags_derived_values_and_scores_of_its_readings(api: Api) -> None:
    answer = api.submit(visit())
    assert answer["state"] == "released"
    assert answer["observed_on"] == "2026-03-12"
    assert answer["watershed"] == {"scheme": "huc", "code": "020700100103"}
    assert flags(answer) == {"water_temperature": 1, "ph": 1, "dissolved_oxygen": 1}
    assert {score["index"] for score in answer["scores"]} == {"oxygen-saturation", "criteria-met"}


def test_saturation_is_derived_with_its_interval_and_what_was_assumed(api: Api) -> None:
    # Benson & Krause 1984 at 6.5 degC and the standard atmosphere at 120 m: solubility 12.115 mg/L, so 8 mg/L
    # is 66.0 %; computed apart from the service with the published formula.
    (derived,) = api.submit(visit())["derived"]
    assert derived["parameter"] == "dissolved_oxygen_saturation"
    assert derived["value"] == pytest.approx(66.04, abs=0.05)
    assert derived["low"] < derived["value"] < derived["high"]
    assert derived["unit"] == "%"
    assert "pressure from elevation" in derived["assumed"]


def test_a_coarse_kit_gives_a_wide_interval(api: Api) -> None:
    answer = api.submit(visit())
    oxygen = answer["readings"][2]
    assert (oxygen["low"], oxygen["value"], oxygen["high"]) == (6.0, 8.0, 10.0)


def test_measured_numbers_are_written_as_floats(api: Api) -> None:
    text = api.post("/v1/visits", visit(), "heron").text
    assert '"value":7.0' in text


def test_fahrenheit_typed_as_celsius_is_held_and_told_with_the_number_and_what_to_do(api: Api) -> None:
    body = visit(readings=[
        reading("water_temperature", 64, "degC", kit="thermometer-alcohol"),
        reading("dissolved_oxygen", 8, "mg/L", kit="oxygen-tablet-comparator"),
    ])  # fmt: skip
    answer = api.submit(body)
    finding = checks(answer, 0)["gross-range"]
    assert (answer["state"], finding["flag"]) == ("held", 4)
    assert "64 °C" in finding["message"]
    assert finding["advice"]
    assert answer["derived"] == []
    assert checks(answer, 1)["oxygen-saturation"]["flag"] == 2


@pytest.mark.parametrize(
    ("written", "value", "censored"),
    [
        (reading("dissolved_oxygen", 0, "mg/L", kit="oxygen-tablet-comparator"), 4.0, "<"),
        (reading("transparency", 60, "cm", kit="transparency-tube-60"), 60.0, ">"),
        (reading("transparency", 60, "cm", censored=">", kit="transparency-tube-60"), 60.0, ">"),
        (reading("nitrate", 5, "mg/L as NO3", censored="<", kit="nitrate-tablet-comparator"), 1.1295, "<"),
    ],
)
def test_a_value_at_the_end_of_a_kit_is_kept_as_a_limit(
    api: Api, written: dict, value: float, censored: str
) -> None:
    row = api.submit(visit(readings=[written]))["readings"][0]
    assert row["value"] == pytest.approx(value, rel=1e-4)
    assert row["censored"] == censored
    assert row["written"]["value"] == written["value"]
    assert (row["low"] is None, row["high"] is None) == (False, censored == ">")


def test_a_reading_planned_but_not_measured_is_kept_as_missing(api: Api) -> None:
    answer = api.submit(visit(readings=[reading("nitrate", None, "mg/L as N"), reading("ph", 7)]))
    assert [(row["value"], row["flag"]) for row in answer["readings"]] == [(None, 9), (7.0, 1)]


def test_replicates_are_numbered_as_they_come(api: Api) -> None:
    rows = [reading("ph", 7), reading("ph", 7, replicate=1), reading("ph", 8)]
    answer = api.submit(visit(readings=rows))
    assert [row["replicate"] for row in answer["readings"]] == [2, 1, 3]


def test_the_local_date_counts_not_the_day_in_greenwich(api: Api) -> None:
    # 22:30 in the evening at UTC-5 is already the next day in Greenwich.
    answer = api.submit(visit(observed_at="2026-03-01T22:30:00-05:00"))
    assert answer["observed_on"] == "2026-03-01"


def test_the_sites_own_clock_decides_the_date_whatever_offset_the_phone_sends(api: Api) -> None:
    answer = api.submit(visit(observed_at="2026-03-02T03:30:00Z"))
    assert answer["observed_on"] == "2026-03-01"
    assert answer["private"]["observed_at"] == "2026-03-02T03:30:00Z"


@pytest.mark.parametrize("instant", ["2025-11-02T01:30:00-04:00", "2025-11-02T01:30:00-05:00"])
def test_both_half_past_one_of_the_night_the_clocks_go_back_are_different(api: Api, instant: str) -> None:
    answer = api.submit(visit(observed_at=instant))
    assert answer["private"]["observed_at"] == instant


def test_a_leap_day_is_a_day(api: Api) -> None:
    assert api.submit(visit(observed_at="2024-12-31T12:00:00-05:00"))["observed_on"] == "2024-12-31"
    answer = api.post("/v1/visits", visit(observed_at="2025-02-29T12:00:00-05:00"), "heron")
    assert answer.status_code == 422


def test_a_dry_run_says_the_same_and_stores_nothing(api: Api) -> None:
    body = visit(catch=catch(("mayfly", 14), ("Gammaridae", 31)))
    dry = api.post("/v1/visits?dry_run=true", body, "heron")
    assert dry.status_code == 200
    assert api.every("/v1/visits", "coordinator") == []
    stored = api.submit(body)
    for part in ("readings", "derived", "scores", "state"):
        assert dry.json()[part] == stored[part]


def test_the_stored_visit_reads_back_as_it_was_answered(api: Api) -> None:
    stored = api.submit(visit(notes="gate code is with the caretaker", team="period-3"))
    assert api.get(f"/v1/visits/{stored['visit_id']}", "heron").json() == stored


def test_sending_the_same_again_answers_200_and_stores_once(api: Api) -> None:
    body = visit(visit_id=str(uuid.uuid4()))
    first = api.post("/v1/visits", body, "heron")
    again = api.post("/v1/visits", body, "heron")
    assert (first.status_code, again.status_code) == (201, 200)
    assert first.json() == again.json()
    assert len(api.every("/v1/visits")) == 1


def test_the_same_id_with_other_content_is_refused_and_changes_nothing(api: Api) -> None:
    body = visit(visit_id=str(uuid.uuid4()))
    stored = api.submit(body)
    other = api.post("/v1/visits", body | {"team": "period-4"}, "heron")
    assert other.status_code == 409
    assert api.get(f"/v1/visits/{stored['visit_id']}", "heron").json() == stored


def test_the_same_visit_sent_from_twenty_places_at_once_is_one_visit(api: Api) -> None:
    body = visit(visit_id=str(uuid.uuid4()))
    with ThreadPoolExecutor(20) as pool:
        answers = list(pool.map(lambda _: api.post("/v1/visits", body, "heron").status_code, range(20)))
    assert sorted(answers) == [200] * 19 + [201]
    assert len(api.every("/v1/visits")) == 1


def test_a_second_visit_of_the_same_team_place_and_time_is_held(api: Api) -> None:
    api.submit(visit(team="period-3"))
    twin = api.submit(visit(team="period-3", notes="typed in again"))
    other_team = api.submit(visit(team="period-4"))
    assert (twin["state"], other_team["state"]) == ("held", "released")
    (clock,) = [row for row in twin["visit_checks"] if row["check"] == "visit-clock"]
    assert clock["flag"] == 4


def test_a_visit_before_the_site_existed_is_held(api: Api) -> None:
    assert api.submit(visit(observed_at="2024-08-31T10:00:00-04:00"))["state"] == "held"


def test_suspect_visits_are_released_where_the_network_says_so(api: Api) -> None:
    body = visit(readings=[reading("ph", 3.5)])
    assert api.submit(body)["state"] == "held"
    settings = api.client.app.state.settings
    api.client.app.state.settings = settings.model_copy(update={"release_suspect": True})
    try:
        assert api.submit(body | {"team": "b"})["state"] == "released"
        assert api.submit(body | {"team": "c", "readings": [reading("ph", 15)]})["state"] == "held"
    finally:
        api.client.app.state.settings = settings


def test_a_networks_own_kit_serves_like_one_of_the_catalogue(api: Api) -> None:
    kit = {
        "code": "our-oxygen-card", "name": "Our oxygen card", "kind": "comparator",
        "parameter": "dissolved_oxygen", "unit": "mg/L", "lower": 2, "upper": 8,
        "marks": [0, 2, 5, 8], "reads_zero": False,
    }  # fmt: skip
    assert api.post("/v1/kits", kit).status_code == 201
    row = api.submit(visit(readings=[reading("dissolved_oxygen", 5, "mg/L", kit="our-oxygen-card")]))[
        "readings"
    ][0]
    assert (row["low"], row["high"]) == (3.5, 6.5)


def test_history_makes_a_decimal_slip_stand_out(api: Api) -> None:
    for day in range(1, 13):
        past = [reading("transparency", 68 + day % 3, "cm", kit="transparency-tube-120")]
        api.submit(visit(observed_at=f"2026-03-{day:02}T10:00:00-05:00", readings=past))
    slip = [reading("transparency", 7, "cm", kit="transparency-tube-120")]
    answer = api.submit(visit(observed_at="2026-03-20T10:00:00-04:00", readings=slip))
    assert checks(answer, 0)["site-outlier"]["flag"] == 3
    assert answer["state"] == "held"
