"""The report on quality: what is usable, which alarms were false, how well duplicates and kits agree."""

import csv
from pathlib import Path

import pytest

from tests.api import Api, Json, reading, visit
from tests.review.held_visits import decide

CHECK_VALUES = Path(__file__).parents[1] / "science" / "check_values"
CARD = "oxygen-tablet-comparator"
TITRATOR = "oxygen-titrator"


def report(api: Api, query: str = "") -> Json:
    answer = api.get(f"/v1/quality?{query}", "coordinator")
    assert answer.status_code == 200, answer.text
    return answer.json()


def on(day: int, *readings: Json, month: int = 3, site: str = "reed-02", **more: object) -> Json:
    return visit(site, f"2026-{month:02}-{day:02}T10:00:00-05:00", readings=list(readings), **more)


def conductance(value: float | None) -> Json:
    return reading("specific_conductance", value, "uS/cm", kit="conductivity-meter")


def oxygen(value: float, kit: str = TITRATOR, **more: object) -> Json:
    return reading("dissolved_oxygen", value, "mg/L", kit=kit, **more)


@pytest.fixture
def decided(api: Api) -> Api:
    """Nine readings: four good, one good but rejected, one not measured, and three flagged.

    Of the flagged one is let stand, one rejected, and one waits.
    """
    *_, wrong_site = (api.submit(on(day, conductance(250))) for day in (1, 2, 3, 4, 9))
    decide(api, wrong_site["visit_id"], "reject")
    api.submit(on(5, conductance(None)))
    # 8000 is off the scale of the meter and far beyond fresh water.
    stands, rejected, _waits = (api.submit(on(day, conductance(8000))) for day in (6, 7, 8))
    decide(api, stands["visit_id"], "set-flag", "road salt, measured twice", reading=0, flag=1)
    decide(api, stands["visit_id"], "release")
    decide(api, rejected["visit_id"], "reject")
    return api


def test_readings_are_counted_by_what_became_of_them(decided: Api) -> None:
    (row,) = report(decided)["readings"]
    assert (row["school"], row["parameter"], row["kit"]) == (
        "heron", "specific_conductance", "conductivity-meter",
    )  # fmt: skip
    counts = ("readings", "missing", "evaluated", "flagged", "dismissed", "waiting", "usable")
    assert [row[name] for name in counts] == [9, 1, 8, 3, 1, 1, 5]
    assert (row["share_flagged"], row["share_dismissed"]) == pytest.approx((3 / 8, 1 / 8))
    assert row["completeness_percent"] == pytest.approx(100 * 5 / 9)


def test_a_release_lets_a_suspect_reading_count_as_usable_and_the_alarm_as_false(api: Api) -> None:
    held = api.submit(on(1, reading("specific_conductance", 50_000, "uS/cm")))
    (before,) = report(api)["readings"]
    decide(api, held["visit_id"], "release")
    (after,) = report(api)["readings"]
    assert (before["usable"], before["dismissed"], before["waiting"]) == (0, 0, 1)
    assert (after["usable"], after["dismissed"], after["waiting"]) == (1, 1, 0)
    decide(api, held["visit_id"], "reject", "not from this stream")
    (rejected,) = report(api)["readings"]
    assert (rejected["usable"], rejected["dismissed"], rejected["flagged"]) == (0, 0, 1)


@pytest.mark.parametrize(
    ("period", "begins"),
    [
        ("month", ["2025-11-01", "2025-12-01", "2026-02-01", "2026-03-01"]),
        ("season", ["2025-09-01", "2025-12-01", "2026-03-01"]),
        ("year", ["2025-01-01", "2026-01-01"]),
    ],
)
def test_periods_begin_where_they_say(api: Api, period: str, begins: list[str]) -> None:
    for day in ("2025-11-30", "2025-12-01", "2026-02-28", "2026-03-01"):
        api.submit(visit(observed_at=f"{day}T10:00:00-05:00", readings=[conductance(250)]))
    found = report(api, f"period={period}")
    assert found["period"] == period
    assert [row["begins"] for row in found["readings"]] == begins
    assert sum(row["readings"] for row in found["readings"]) == 4


def test_schools_kits_and_parameters_are_kept_apart(api: Api) -> None:
    api.submit(on(1, oxygen(8), oxygen(8, CARD), reading("ph", 7)))
    api.submit(on(1, oxygen(8), site="reed-01"), "otter")
    rows = [(row["school"], row["parameter"], row["kit"]) for row in report(api)["readings"]]
    assert rows == [
        ("heron", "dissolved_oxygen", CARD),
        ("heron", "dissolved_oxygen", TITRATOR),
        ("heron", "ph", None),
        ("otter", "dissolved_oxygen", TITRATOR),
    ]
    assert len(report(api, "parameter=ph")["readings"]) == 1
    assert len(report(api, "school=otter")["readings"]) == 1
    assert report(api, "watershed=0208")["readings"] == []
    assert report(api, "from=2026-03-02")["readings"] == []


def table(name: str, *columns: str) -> list[tuple[float, ...]]:
    with (CHECK_VALUES / name).open(encoding="utf-8", newline="") as file:
        return [tuple(float(row[column]) for column in columns) for row in csv.DictReader(file)]


def test_duplicates_within_a_visit_give_steps_spread_and_relative_difference(api: Api) -> None:
    # Eight pairs of a titrator in steps of 0.2 mg/L; worked out apart from the service: pooled SD
    # sqrt(sum of d2 / 2k) = sqrt(1.08 / 16) = 0.259808 mg/L, median RPD 3.4251 %.
    for day, (first, second) in enumerate(table("precision_duplicates.csv", "first", "second"), 1):
        api.submit(on(day, oxygen(first), oxygen(second)))
    (row,) = report(api)["duplicates"]
    assert (row["kit"], row["how"], row["unit"], row["pairs"]) == (TITRATOR, "same-visit", "mg/L", 8)
    assert row["steps_apart"] == {"0": 1, "1": 2, "2": 4, "more": 1}
    assert row["share_within_one_step"] == 3 / 8
    assert row["pooled_sd"] == pytest.approx(0.259808, abs=1e-6)
    assert row["median_rpd_percent"] == pytest.approx(3.4251, abs=1e-4)


def test_a_colour_card_is_compared_by_marks_and_never_by_percent(api: Api) -> None:
    api.submit(on(1, oxygen(4, CARD), oxygen(8, CARD)))
    api.submit(on(2, oxygen(0, CARD), oxygen(4, CARD)))  # 0 on this card means less than 4
    (row,) = report(api)["duplicates"]
    assert (row["pairs"], row["censored"], row["steps_apart"]["1"]) == (2, 1, 1)
    assert row["share_within_one_step"] == 1
    assert row["median_rpd_percent"] is None


def test_a_field_replicate_is_paired_with_the_routine_visit_of_its_site_and_day(api: Api) -> None:
    api.submit(on(1, oxygen(9.0), reading("ph", 7.1, kit="ph-meter")))
    api.submit(on(1, oxygen(9.4), reading("ph", 7.2, kit="ph-meter"), kind="field-replicate"))
    api.submit(on(2, oxygen(5.0), kind="field-replicate"))  # no routine visit on that day
    api.submit(on(1, oxygen(5.0), site="reed-01", kind="field-replicate"), "otter")  # another site
    rows = report(api)["duplicates"]
    assert [(row["parameter"], row["how"], row["pairs"]) for row in rows] == [
        ("dissolved_oxygen", "field-replicate", 1),
        ("ph", "field-replicate", 1),
    ]
    assert rows[0]["pooled_sd"] == pytest.approx(0.4 / 2**0.5)
    assert rows[1]["median_rpd_percent"] is None  # percent of a pH says nothing: common practice


def test_a_failed_reading_tells_nothing_of_precision(api: Api) -> None:
    failed = api.submit(on(1, oxygen(9.0), oxygen(90)))
    assert [row["flag"] for row in failed["readings"]][1] == 4
    assert report(api)["duplicates"] == []


def test_three_replicates_make_one_independent_pair(api: Api) -> None:
    api.submit(on(1, oxygen(9.0), oxygen(9.2), oxygen(9.2)))
    (row,) = report(api)["duplicates"]
    assert row["pairs"] == 1


def test_a_kit_is_held_against_the_meter_of_the_same_visit(api: Api) -> None:
    # Ten split samples, worked out apart from the service: mean +0.23, SD 0.359166, limits of agreement
    # -0.473965 and +0.933965 (mean -+ 1.96 SD, Bland & Altman 1986), Hodges-Lehmann 0.25.
    for day, (reference, value) in enumerate(table("precision_split_samples.csv", "meter", "kit"), 1):
        rows = [oxygen(reference, "oxygen-meter"), oxygen(value, "oxygen-ampoule-comparator")]
        api.submit(on(day, *rows))
    (row,) = report(api)["kit_against_meter"]
    assert (row["kit"], row["meter"], row["pairs"]) == ("oxygen-ampoule-comparator", "oxygen-meter", 10)
    assert row["mean_bias"] == pytest.approx(0.23)
    assert row["sd"] == pytest.approx(0.359166, abs=1e-6)
    assert (row["lower_limit"], row["upper_limit"]) == pytest.approx((-0.473965, 0.933965), abs=1e-6)
    assert row["hodges_lehmann"] == pytest.approx(0.25)
    assert row["share_within_one_step"] == 1
    assert report(api)["duplicates"] == []


def test_one_split_sample_has_no_spread_and_a_limit_no_difference(api: Api) -> None:
    api.submit(on(1, oxygen(3.2, "oxygen-meter"), oxygen(0, CARD)))
    api.submit(on(2, oxygen(9.0, "oxygen-meter"), oxygen(8, CARD)))
    (row,) = report(api)["kit_against_meter"]
    assert (row["pairs"], row["uncensored"], row["mean_bias"]) == (2, 1, None)
    assert row["share_within_one_step"] == 1


def test_the_last_digit_is_looked_at_from_twenty_visits_on(api: Api) -> None:
    values = [8.0, 9.0, 8.4, 8.6] * 5
    for day, value in enumerate(values[:-1], 1):
        api.submit(on(day, oxygen(value)))
    assert report(api)["last_digits"] == []
    api.submit(on(20, oxygen(values[-1])))
    (row,) = report(api)["last_digits"]
    assert (row["school"], row["kit"], row["visits"], row["readings"]) == ("heron", TITRATOR, 20, 20)
    assert (row["share_0_or_5"], row["expected_share"]) == (0.5, 0.2)


@pytest.mark.parametrize(("key", "status"), [(None, 401), ("reader", 403), ("heron", 403)])
def test_the_report_is_the_coordinators(api: Api, key: str | None, status: int) -> None:
    assert api.get("/v1/quality", key).status_code == status


@pytest.mark.parametrize("query", ["period=week", "by=kit", "from=2026-03-02&to=2026-03-01"])
def test_a_bad_parameter_is_refused(api: Api, query: str) -> None:
    assert api.get(f"/v1/quality?{query}", "coordinator").status_code == 400


def test_a_network_without_visits_has_an_empty_report(api: Api) -> None:
    found = report(api)
    assert [found[part] for part in ("readings", "duplicates", "kit_against_meter", "last_digits")] == [
        []
    ] * 4
