"""The CCME index of a site and its seasons, and the sites of a watershed in its order."""

from typing import Any

import pytest

from tests.api import Api, Json, reading, visit
from tests.science.check_table import rows

UNITS = {
    "dissolved_oxygen": "mg/L",
    "ph": None,
    "nitrate": "mg/L as N",
    "e_coli": "MPN/100 mL",
    "transparency": "cm",
    "water_temperature": "degC",
}
LIMITS: dict[str, Json] = {
    "dissolved_oxygen": {"at_least": 6.5},
    "ph": {"at_least": 6.5, "at_most": 9.0},
    "nitrate": {"at_most": 3.0},
    "e_coli": {"at_most": 410.0},
    "transparency": {"at_least": 30.0},
    "water_temperature": {"at_most": 20.0},
}
SCHOOLS = {"reed-01": "otter", "reed-02": "heron", "fern-01": "otter"}
DATES = ("2025-03-10", "2025-04-14", "2025-05-12", "2025-06-09", "2025-07-14", "2025-09-15")


def set_criterion(api: Api, parameter: str, code: str | None = None, **more: Any) -> None:
    body = {
        "code": code or f"{parameter.replace('_', '-')}-set",
        "name": f"{parameter} of the network",
        "parameter": parameter,
        "unit": UNITS[parameter] or "std units",
        "applies_from": "2020-01-01",
        "source": "invented",
    }
    answer = api.post("/v1/criteria", body | LIMITS[parameter] | more)
    assert answer.status_code == 201, answer.text


def hand_in(api: Api, on: str, readings: list[Json], site: str = "reed-02", **more: Any) -> None:
    body = visit(site, f"{on}T10:00:00-04:00", readings=readings, **more)
    answer = api.submit(body, SCHOOLS[site])
    doubts = [check for one in answer["readings"] for check in one["checks"] if check["flag"] > 2]
    assert answer["state"] == "released", (doubts, answer["visit_checks"])


def example_visit(number: int) -> list[Json]:
    return [
        reading(
            row["parameter"], float(row["value"]), UNITS[row["parameter"]], censored=row["censored"] or None
        )
        for row in rows("ccme_example")
        if row["visit"] == str(number) and row["value"]
    ]


@pytest.fixture
def example(api: Api) -> Api:
    """The worked example at reed-02: six criteria of the network, six visits."""
    for parameter in LIMITS:
        set_criterion(api, parameter)
    for number, on in enumerate(DATES, 1):
        hand_in(api, on, example_visit(number))
    return api


def ccme(api: Api, site: str = "reed-02", query: str = "") -> Json:
    answer = api.get(f"/v1/sites/{site}/ccme{query}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def ranking(api: Api, query: str = "") -> Json:
    answer = api.get(f"/v1/watersheds/02/ranking{query}")
    assert answer.status_code == 200, answer.text
    return dict(answer.json())


def test_the_worked_example_over_http(example: Api) -> None:
    # invented series, worked by two independent programs of the CCME 2001 formula
    found = ccme(example)["whole"]
    assert found["value"] == pytest.approx(38.741620, abs=1e-4)
    assert (found["band"], found["standing"]) == ("poor", "rated")
    assert (found["tests"], found["failed_tests"]) == (35, 11)
    assert (found["variables"], found["failed_variables"]) == (6, 6)
    assert (found["f1"], found["f2"], found["f3"]) == pytest.approx((100, 31.4286, 16.4119))
    assert found["nse"] == pytest.approx(0.196343097)
    assert (found["first_visit"], found["last_visit"], found["visits"]) == (DATES[0], DATES[-1], 6)


def test_each_three_months_with_a_visit_has_a_row_and_few_samples_have_no_class(example: Api) -> None:
    found = ccme(example)
    assert [(row["name"], row["from_date"], row["to_date"], row["visits"]) for row in found["seasons"]] == [
        ("2025 Mar-May", "2025-03-10", "2025-05-31", 3),
        ("2025 Jun-Aug", "2025-06-01", "2025-08-31", 2),
        ("2025 Sep-Nov", "2025-09-01", "2025-09-15", 1),
    ]
    for row in found["seasons"]:
        assert (row["standing"], row["band"], row["bands"]) == ("too_few", None, {})
        assert row["value"] is not None
        assert "0 parameters with 4 tests or more; 4 wanted before a class is given" in row["reasons"]
    # visits 1 to 3 of the example: 18 tests, failed are nitrate 3.6, E. coli 520 and 1640, pH 6.3, tube 22
    assert (found["seasons"][0]["tests"], found["seasons"][0]["failed_tests"]) == (18, 5)


def test_winter_runs_across_the_end_of_the_year(api: Api) -> None:
    for on in ("2025-12-15", "2026-01-12", "2026-02-09"):
        hand_in(api, on, [reading("ph", 7.2)])
    (winter,) = ccme(api)["seasons"]
    assert (winter["name"], winter["tests"]) == ("2025/26 Dec-Feb", 3)


def test_dates_bound_what_is_tested(example: Api) -> None:
    found = ccme(example, query="?from=2025-04-14&to=2025-07-14")
    assert (found["whole"]["visits"], found["whole"]["from_date"]) == (4, "2025-04-14")
    assert found["whole"]["to_date"] == "2025-07-14"
    assert found["seasons"][0]["from_date"] == "2025-04-14"


def test_each_parameter_says_what_it_was_set_beside(example: Api) -> None:
    found = {row["parameter"]: row for row in ccme(example)["whole"]["by_variable"]}
    nitrate = found["nitrate"]
    assert (nitrate["criterion"], nitrate["at_most"], nitrate["unit"]) == ("nitrate-set", 3.0, "mg/L as N")
    assert (nitrate["samples"], nitrate["tests"], nitrate["failed_tests"]) == (5, 5, 2)
    assert nitrate["excursions"] == pytest.approx(0.7)
    assert (found["ph"]["at_least"], found["ph"]["at_most"]) == (6.5, 9.0)


def test_the_text_says_the_number_and_that_it_is_screening(example: Api) -> None:
    text = ccme(example)["whole"]["text"]
    assert text.startswith("About 38.7 of 100, poor: 11 of 35 tests did not meet the criterion, in 6 of 6")
    assert "A screening result" in text


def test_kits_with_coarse_steps_leave_doubt(api: Api) -> None:
    # a card of whole numbers: 6 may be 5.5 to 6.5, so it may be worse and not better than it reads
    set_criterion(api, "ph")
    for number, on in enumerate(DATES[:5]):
        hand_in(api, on, [reading("ph", 7 if number else 6, kit="ph-tablet-comparator")])
    found = ccme(api)["whole"]
    assert found["low"] < found["value"]
    assert any("steps of the kits alone allow" in reason for reason in found["reasons"])


def test_the_same_question_has_the_same_answer(example: Api) -> None:
    assert ccme(example) == ccme(example)


def test_a_criterion_that_changed_inside_the_dates_is_said_and_the_last_one_is_used(api: Api) -> None:
    set_criterion(api, "nitrate", "old", at_most=10.0, applies_until="2025-05-31")
    set_criterion(api, "nitrate", "new", applies_from="2025-06-01")
    for on in DATES:
        hand_in(api, on, [reading("nitrate", 4.0, "mg/L as N")])
    found = ccme(api)
    assert found["whole"]["by_variable"][0]["criterion"] == "new"
    assert found["whole"]["failed_tests"] == 6
    assert any("nitrate: its criterion changed" in reason for reason in found["whole"]["reasons"])
    assert (found["seasons"][0]["failed_tests"], found["seasons"][1]["failed_tests"]) == (0, 2)
    assert not any("changed" in reason for row in found["seasons"] for reason in row["reasons"])


def test_ammonia_is_set_beside_the_limit_of_each_visit(api: Api) -> None:
    assert api.call("PATCH", "/v1/sites/reed-02", "coordinator", json={"water_class": "warm"}).is_success
    for on, ammonia, more in (
        # US EPA 822-R-13-001: at pH 8 and 25 degC the acute criterion without trout and salmon is 2.57958
        ("2025-06-09", 2.5, [reading("ph", 8.0), reading("water_temperature", 25.0, "degC")]),
        ("2025-06-16", 2.6, [reading("ph", 8.0), reading("water_temperature", 25.0, "degC")]),
        ("2025-06-23", 4.0, [reading("ph", 8.0)]),
        ("2025-06-27", 4.0, [reading("ph", 7.5, censored=">"), reading("water_temperature", 24.0, "degC")]),
        ("2025-06-30", 4.1, [reading("ph", 9.2), reading("water_temperature", 25.0, "degC")]),
    ):
        hand_in(api, on, [reading("ammonia", ammonia, "mg/L as N"), *more])
    found = ccme(api)["whole"]
    (ammonia_row,) = [row for row in found["by_variable"] if row["parameter"] == "ammonia"]
    assert (ammonia_row["formula"], ammonia_row["at_most"]) == ("ammonia-acute-2013-no-salmonids", None)
    assert (ammonia_row["tests"], ammonia_row["failed_tests"]) == (2, 1)
    assert ammonia_row["excursions"] == pytest.approx(2.6 / 2.57958 - 1, abs=1e-5)
    assert any("ammonia: 3 visits without a test" in reason for reason in found["reasons"])


def test_several_readings_of_a_visit_are_one_test_their_median(api: Api) -> None:
    set_criterion(api, "transparency")
    three = [
        reading("transparency", value, "cm", replicate=n) for n, value in enumerate((20.0, 31.0, 32.0), 1)
    ]
    hand_in(api, DATES[0], three)
    # between 25 and more than 29 the median is "more than 27", which 30 leaves undecided
    pair = [
        reading("transparency", 25.0, "cm"),
        reading("transparency", 29.0, "cm", censored=">", replicate=2),
    ]
    hand_in(api, DATES[1], pair)
    found = ccme(api)["whole"]
    (tube,) = found["by_variable"]
    assert (tube["samples"], tube["tests"], tube["failed_tests"], tube["undecided"]) == (2, 1, 0, 1)
    assert "several readings of one visit count as one, their median: 2 times" in found["reasons"]


def test_no_oxygen_at_all_counts_as_half_the_step_of_the_meter_and_is_marked(api: Api) -> None:
    set_criterion(api, "dissolved_oxygen")
    released_zero(api, reading("dissolved_oxygen", 0.0, "mg/L", kit="oxygen-meter"))
    found = ccme(api)["whole"]
    # step 0.1: 6.5 / 0.05 - 1
    assert found["by_variable"][0]["excursions"] == pytest.approx(129.0)
    assert found["half_steps"] == 1
    assert any("1 reading of 0 counted as half" in reason for reason in found["reasons"])


def test_no_oxygen_by_an_unknown_kit_takes_the_finest_step_there_is(api: Api) -> None:
    set_criterion(api, "dissolved_oxygen")
    released_zero(api, reading("dissolved_oxygen", 0.0, "mg/L"))
    assert ccme(api)["whole"]["by_variable"][0]["excursions"] == pytest.approx(129.0)


def released_zero(api: Api, zero: Json) -> None:
    answer = api.submit(visit(observed_at="2025-07-14T10:00:00-04:00", readings=[zero]))
    if answer["state"] != "released":
        decision = {"action": "release", "reason": "seen twice, the pool was dry above"}
        reading_stands = {"action": "set-flag", "reading": 0, "flag": 1, "reason": "seen twice"}
        for body in (reading_stands, decision):
            api.post(f"/v1/visits/{answer['visit_id']}/decisions", body)
    assert api.get(f"/v1/visits/{answer['visit_id']}").json()["state"] == "released"


def test_an_objective_of_0_is_left_out_and_said(api: Api) -> None:
    set_criterion(api, "e_coli", at_most=0.0)
    hand_in(api, DATES[0], [reading("e_coli", 20.0, "MPN/100 mL")])
    found = ccme(api)["whole"]
    assert (found["value"], found["by_variable"], found["standing"]) == (None, [], "missing")
    assert any("E. coli: its criterion is not above 0" in reason for reason in found["reasons"])


def test_what_has_no_criterion_is_said(api: Api) -> None:
    hand_in(
        api,
        DATES[0],
        [reading("ph", 7.0), reading("turbidity", 4.0, "NTU"), reading("nitrate", 1.0, "mg/L as N")],
    )
    found = ccme(api)["whole"]
    assert "no criterion applies here for nitrate, turbidity" in found["reasons"]


def test_a_held_visit_counts_for_nobody(api: Api) -> None:
    api.submit(visit(readings=[reading("ph", 7), reading("turbidity", 99_999, "NTU")]))
    answer = api.get("/v1/sites/reed-02/ccme", "coordinator").json()
    assert (answer["whole"], answer["seasons"]) == (None, [])
    assert answer["text"].startswith("No index")


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/v1/sites/nowhere/ccme", 404),
        ("/v1/watersheds/020/ranking", 404),
        ("/v1/sites/reed-02/ccme?from=2025-13-01", 400),
        ("/v1/sites/reed-02/ccme?from=2025-02-01&to=2025-01-01", 400),
        ("/v1/sites/reed-02/ccme?season=summer", 400),
        ("/v1/watersheds/0207/ranking?parameter=ph", 400),
    ],
)
def test_what_is_not_there_and_what_is_not_understood(api: Api, address: str, status: int) -> None:
    answer = api.get(address)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"


# The sites of a watershed in order.


FOUR = ("dissolved_oxygen", "ph", "nitrate", "e_coli")


def set_up_four(api: Api) -> None:
    for parameter in FOUR:
        set_criterion(api, parameter)


def hand_in_four(
    api: Api, site: str, nitrate: float, *more: Json, dates: tuple[str, ...] = DATES[:4]
) -> None:
    for number, on in enumerate(dates):
        good = [
            reading("dissolved_oxygen", 8.5 + number / 10, "mg/L"),
            reading("ph", 7.2 + number / 10),
            reading("nitrate", nitrate, "mg/L as N"),
            reading("e_coli", 40.0 + number, "MPN/100 mL"),
        ]
        hand_in(api, on, [*good, *more], site)


def test_sites_that_measured_the_same_are_ranked_best_first(api: Api) -> None:
    set_up_four(api)
    hand_in_four(api, "reed-01", 1.0)
    hand_in_four(api, "reed-02", 4.5)
    hand_in_four(api, "fern-01", 1.0)
    found = ranking(api)
    (group,) = found["groups"]
    assert [(row["rank"], row["site"], row["band"]) for row in group["sites"]] == [
        (1, "fern-01", "excellent"),
        (1, "reed-01", "excellent"),
        # F1 25, F2 25, nse 4 x 0.5 / 16 = 0.125, F3 11.1111: 100 - 37.05 / 1.732
        (3, "reed-02", "fair"),
    ]
    assert group["sites"][2]["value"] == pytest.approx(100 - (1250 + 11.11111**2) ** 0.5 / 1.732, abs=1e-3)
    assert "nitrate at most 3 mg/L as N" in group["objectives"]
    assert "pH at least 6.5 and at most 9" in group["objectives"]
    assert found["not_ranked"] == []
    assert group["sites"][0]["reasons"] != group["sites"][1]["reasons"]
    assert "its order with fern-01 may be chance: their ranges overlap" in group["sites"][1]["reasons"]


def test_a_site_that_measured_something_else_is_not_ranked_with_them(api: Api) -> None:
    set_up_four(api)
    set_criterion(api, "transparency")
    hand_in_four(api, "reed-01", 1.0)
    hand_in_four(api, "reed-02", 1.0)
    hand_in_four(api, "fern-01", 1.0, reading("transparency", 50.0, "cm"))
    found = ranking(api)
    assert [row["site"] for row in found["groups"][0]["sites"]] == ["reed-01", "reed-02"]
    (apart,) = found["not_ranked"]
    assert (apart["site"], apart["value"]) == ("fern-01", 100.0)
    assert "no other site here has the same parameters and criteria" in apart["reason"]
    assert "transparency at least 30 cm" in apart["reason"]


def test_a_site_under_other_criteria_is_not_ranked_with_them(api: Api) -> None:
    set_up_four(api)
    stricter = {"watershed": {"scheme": "huc", "code": "0208"}, "at_most": 2.0}
    set_criterion(api, "nitrate", "fern-nitrate", **stricter)
    for site in SCHOOLS:
        hand_in_four(api, site, 1.0)
    found = ranking(api)
    assert [row["site"] for row in found["groups"][0]["sites"]] == ["reed-01", "reed-02"]
    assert [row["site"] for row in found["not_ranked"]] == ["fern-01"]


def test_too_few_samples_and_none_are_not_ranked_and_why_is_said(api: Api) -> None:
    set_up_four(api)
    hand_in_four(api, "reed-01", 1.0)
    hand_in_four(api, "reed-02", 1.0, dates=DATES[:3])
    reasons = {row["site"]: row for row in ranking(api)["not_ranked"]}
    assert reasons.keys() == {"reed-01", "reed-02", "fern-01"}
    assert (reasons["reed-02"]["standing"], reasons["reed-02"]["value"]) == ("too_few", 100.0)
    assert "4 wanted before a class is given" in reasons["reed-02"]["reason"]
    assert (reasons["fern-01"]["standing"], reasons["fern-01"]["value"]) == ("missing", None)
    assert reasons["fern-01"]["reason"].startswith("No index")


def test_all_sites_have_the_same_period_and_the_key_is_that_of_the_site_alone(api: Api) -> None:
    set_up_four(api)
    hand_in_four(api, "reed-01", 1.0)
    hand_in_four(api, "reed-02", 1.0, dates=DATES[1:5])
    found = ranking(api)
    assert (found["from_date"], found["to_date"]) == (DATES[0], DATES[4])
    dates = f"?from={DATES[0]}&to={DATES[4]}"
    keys = {ccme(api, site, dates)["whole"]["comparable_with"] for site in ("reed-01", "reed-02")}
    assert keys == {found["groups"][0]["comparable_with"]}
    assert ccme(api, "reed-02")["whole"]["comparable_with"] not in keys


def test_a_watershed_without_readings_ranks_nobody(api: Api) -> None:
    found = ranking(api)
    assert (found["groups"], found["from_date"]) == ([], None)
    assert len(found["not_ranked"]) == 3
    assert api.get("/v1/watersheds/0299/ranking").json()["not_ranked"] == []
