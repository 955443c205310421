from dataclasses import replace
from datetime import date, datetime

import pytest

from service.science.flags import Flag
from service.science.qa.checks import site_outlier
from service.science.types import Censoring, Kit, NeighbourAnomaly, PastReading
from tests.science.kits import (
    NITRATE_TABLETS,
    OXYGEN_METER,
    OXYGEN_TITRATOR,
    PH_HALF,
    THERMOMETER,
    THERMOMETER_F,
    TUBE_60,
    TUBE_120,
    TURBIDITY_METER,
    read,
)
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import ZONE, visit_with, weekly

ON = date(2026, 5, 14)
NEAR_12 = [10.5, 11, 12, 12.5, 13, 12, 11.5, 12.5, 13.5, 12]
PH_REFERENCES = [7.5] * 10 + [7.0, 8.0]
TUBE_REFERENCES = [62, 70, 58, 75, 80, 66, 71, 69, 60, 73, 77, 64, 68, 72, 55, 70, 66, 74, 63, 70]


def finding(reading, history, observed_at=None, conditions=None):
    visit = visit_with(
        reading,
        observed_at=observed_at or datetime(ON.year, ON.month, ON.day, 14, tzinfo=ZONE),
        history={reading.parameter: tuple(history)},
        conditions=conditions,
    )
    return site_outlier.run(reading, visit, limits_for("site-outlier", reading.parameter))


def by(kit, values, **more):
    return weekly([float(value) for value in values], ON, kit=kit.code, kind=kit.kind, **more)


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "references", "flag", "z_own", "threshold"),
    [
        # scheme cases A1 to A4, B1 to B3, D1, worked out apart from this code; on marks of 0.5 pH a floor of
        # 0.6 marks is the floor of 0.3 pH, so the distances in spreads are the same
        ("ph", PH_HALF, 8.0, PH_REFERENCES, 1, 1.6667, 5.25),
        ("ph", PH_HALF, 8.5, PH_REFERENCES, 1, 3.3333, 5.25),
        ("ph", PH_HALF, 9.0, PH_REFERENCES, 1, 5.0, 5.25),
        ("ph", PH_HALF, 9.5, PH_REFERENCES, 3, 6.6667, 5.25),
        ("water_temperature", THERMOMETER, 54.0, NEAR_12, 3, 56.0, 5.942),
        ("water_temperature", THERMOMETER, 1.2, NEAR_12, 3, 14.4, 5.942),
        ("water_temperature", THERMOMETER, 14.0, NEAR_12, 1, 2.6667, 5.942),
        ("transparency", TUBE_120, 12.0, TUBE_REFERENCES, 3, 7.6275, 4.003),
    ],
)
def test_scheme_cases_through_the_check(parameter, kit, value, references, flag, z_own, threshold):
    found = finding(read(parameter, value, kit=kit, unit=kit.unit), by(kit, references))
    assert found.flag == flag
    assert found.evidence["z_own"] == pytest.approx(z_own, abs=1e-3)
    assert found.evidence["threshold"] == pytest.approx(threshold)


@pytest.mark.parametrize(("count", "flag"), [(7, 2), (8, 1)])
def test_eight_references_are_needed(count, flag):
    found = finding(read("water_temperature", 12.0, kit=THERMOMETER), by(THERMOMETER, [12.0] * count))
    assert (found.flag, found.evidence["references"]) == (flag, count)


def test_too_few_says_how_many_are_needed():
    found = finding(read("water_temperature", 12.0, kit=THERMOMETER), by(THERMOMETER, [12.0] * 5))
    assert found.message == (
        "Too early to say what is usual here: readings of this kind from 8 earlier days at this time of year "
        "are needed, and there are 5."
    )


def test_fifteen_readings_of_one_morning_are_one_reference():
    morning = [PastReading(date(2026, 5, 7), 12.0 + n / 10, None) for n in range(15)]
    found = finding(read("water_temperature", 19.0), morning)
    assert (found.flag, found.evidence["references"]) == (Flag.NOT_EVALUATED, 1)


def neighbours_of(reading, *anomalies, kit=None, kind=None):
    return {
        reading.parameter: tuple(
            NeighbourAnomaly(f"site-{n}", anomaly, kit, kind) for n, anomaly in enumerate(anomalies)
        )
    }


def with_residuals(past, residuals):
    return tuple(
        replace(reading, residual=residual) for reading, residual in zip(past, residuals, strict=False)
    )


RESIDUALS = [0, 0.05, -0.04, 0.1, -0.08, 0.02, -0.05, 0.06, 0.01, -0.02]


@pytest.mark.parametrize(
    ("anomalies", "depth_cm", "flag", "residual"),
    [
        # scheme cases D2 to D4, worked out apart from this code: a storm at all, a slip, two neighbours
        ((-0.7, -0.65, -0.5, -0.66), 12, 1, 1.0792 - 1.84195 + 0.655),
        ((0.02, -0.03, 0.01, 0.05), 7, 3, 0.8451 - 1.84195 - 0.015),
        ((-0.7, -0.65), 12, 3, None),
    ],
)
def test_neighbours_take_off_what_happened_to_all(anomalies, depth_cm, flag, residual):
    reading = read("transparency", depth_cm, kit=TUBE_120)
    history = with_residuals(by(TUBE_120, TUBE_REFERENCES), RESIDUALS)
    visit = replace(
        visit_with(reading, history={"transparency": history}),
        neighbours=neighbours_of(reading, *anomalies, kit=TUBE_60.code, kind="tube"),
    )
    found = site_outlier.run(reading, visit, limits_for("site-outlier", "transparency"))
    assert (found.flag, found.evidence["neighbours"]) == (flag, len(anomalies))
    assert found.evidence["residual"] == (None if residual is None else pytest.approx(residual, abs=2e-3))


@pytest.mark.parametrize(
    ("depth_cm", "anomalies", "flag"),
    [
        # by hand, log10: 14 of 120 cm is -0.933; the neighbours fell by 0.70, so 0.233 is left, 2.33 floors
        (14, (-0.7, -0.65, -0.7), 1),
        # the neighbours did not move: 9.33 floors against a threshold of 5.942
        (14, (0.0, 0.02, -0.03), 3),
        (14, (-0.7, -0.65), 3),  # two are too few
    ],
)
def test_a_storm_at_a_site_that_is_usually_clearer_than_the_tube(depth_cm, anomalies, flag):
    reading = read("transparency", depth_cm, kit=TUBE_120)
    usual = by(TUBE_120, [120] * 10, censored=Censoring.ABOVE)
    visit = replace(
        visit_with(reading, history={"transparency": usual}),
        neighbours=neighbours_of(reading, *anomalies, kit=TUBE_120.code, kind="tube"),
    )
    assert site_outlier.run(reading, visit, limits_for("site-outlier", "transparency")).flag == flag


def test_neighbours_with_another_method_are_not_asked():
    reading = read("dissolved_oxygen", 9.0, kit=OXYGEN_TITRATOR)
    visit = replace(
        visit_with(reading, history={"dissolved_oxygen": by(OXYGEN_TITRATOR, [9.0] * 8)}),
        neighbours=neighbours_of(reading, -2.0, -2.0, -2.0, kind="comparator"),
    )
    found = site_outlier.run(reading, visit, limits_for("site-outlier", "dissolved_oxygen"))
    assert found.evidence["neighbours"] == 0


@pytest.mark.parametrize(("count", "anomaly"), [(4, None), (5, 1.0)])
def test_the_distance_from_the_median_is_kept_from_five_days_on(count, anomaly):
    found = finding(read("water_temperature", 13.0, kit=THERMOMETER), by(THERMOMETER, [12.0] * count))
    assert found.flag is Flag.NOT_EVALUATED
    assert found.evidence.get("anomaly") == anomaly


@pytest.mark.parametrize(
    ("censored", "depth_cm", "anomaly"),
    [
        # by hand: usually more than 60 cm, now 30: it fell by log10(2) at least; a full tube did not move
        (Censoring.ABOVE, 30, -0.30103),
        (Censoring.ABOVE, 60, 0.0),
    ],
)
def test_a_site_that_is_usually_beyond_the_tube_tells_the_least_it_moved(censored, depth_cm, anomaly):
    usual = by(TUBE_60, [60] * 10, censored=censored)
    found = finding(read("transparency", depth_cm, kit=TUBE_60), usual)
    assert found.evidence["anomaly"] == pytest.approx(anomaly, abs=1e-5)
    assert found.evidence["residual"] is None


def test_no_history_at_all_is_not_evaluated():
    assert finding(read("ph", 7.0), []).flag is Flag.NOT_EVALUATED


def test_other_kinds_of_kit_are_not_mixed_in():
    reading = read("dissolved_oxygen", 9.0, kit=OXYGEN_TITRATOR)
    history = by(OXYGEN_TITRATOR, [9.0] * 7) + by(OXYGEN_METER, [9.0] * 20)
    found = finding(reading, history)
    assert found.flag is Flag.NOT_EVALUATED
    assert found.evidence["readings_with_other_methods"] == 20
    assert "other kits are not mixed in" in found.message


def test_another_kit_of_the_same_kind_counts_where_no_marks_are_compared():
    digital = Kit(
        "thermometer-2", "thermometer", "thermometer", "water_temperature", "degC", -40, 70, step=0.1
    )
    reading = read("water_temperature", 12.3, kit=digital)
    assert finding(reading, by(THERMOMETER, NEAR_12)).flag is Flag.PASS


def test_marks_are_compared_only_with_the_same_card():
    other_card = Kit("ph-card-2", "pH card", "comparator", "ph", "std units", 6, 8, marks=(6.0, 7.0, 8.0))
    assert finding(read("ph", 7.5, kit=PH_HALF), by(other_card, [7.0] * 12)).flag is Flag.NOT_EVALUATED


def test_readings_without_a_kit_are_compared_with_such_readings():
    assert finding(read("ph", 9.9), weekly([7.5] * 12, ON)).flag is Flag.SUSPECT
    assert finding(read("ph", 9.9), by(PH_HALF, [7.5] * 12)).flag is Flag.NOT_EVALUATED


def test_uneven_marks_count_as_equal_steps():
    # by hand: marks 5, 20, 40 mg/L as NO3 are levels 0, 1, 2; a floor of 0.6 makes the card 3.33 spreads
    marks_as_n = [mark * 0.225905 for mark in (5, 20, 40)]  # atomic weights IUPAC 2021
    reading = read("nitrate", 40.0, kit=NITRATE_TABLETS, unit="mg/L as NO3")
    found = finding(reading, by(NITRATE_TABLETS, [marks_as_n[0]] * 40))
    assert found.evidence["z_own"] == pytest.approx(2 / 0.6, abs=1e-3)
    assert found.flag is Flag.PASS


def test_the_floor_grows_with_a_coarse_step():
    # by hand: steps of 2 mg/L give a floor of 0.6 x 2 = 1.2 mg/L instead of 0.4
    coarse = Kit("coarse", "oxygen by drops", "drop-count", "dissolved_oxygen", "mg/L", 2, 20, step=2.0)
    found = finding(read("dissolved_oxygen", 12.0, kit=coarse), by(coarse, [8.0] * 40))
    assert (found.evidence["floor"], found.flag) == (pytest.approx(1.2), Flag.PASS)


def test_most_of_the_season_with_a_full_tube():
    full = by(TUBE_60, [60] * 8, censored=Censoring.ABOVE)
    again = finding(read("transparency", 60, kit=TUBE_60), full)
    muddy = finding(read("transparency", 5, kit=TUBE_60), full)
    assert (again.flag, again.evidence["z_own"]) == (Flag.PASS, 0.0)
    # log10(60/5) = 1.0792, 10.79 floors of 0.10, against a threshold of 7.287
    assert (muddy.flag, muddy.evidence["z_own"]) == (Flag.SUSPECT, pytest.approx(10.792, abs=1e-3))
    assert "more than 60 cm on 8 earlier days" in muddy.message


def test_tubes_of_two_lengths_are_cut_and_the_evidence_says_so():
    history = by(TUBE_60, [60] * 4, censored=Censoring.ABOVE) + by(TUBE_120, [80] * 6, first_days_before=10)
    found = finding(read("transparency", 55, kit=TUBE_120), history)
    assert found.evidence["references_cut_at_common_limit"] == 6
    assert found.evidence["usual"] == pytest.approx(60)
    assert found.flag is Flag.PASS


def test_limits_that_leave_nothing_to_compare_are_not_evaluated():
    history = weekly([8.0] * 5, ON, censored=Censoring.BELOW) + weekly(
        [4.0] * 5, ON, censored=Censoring.ABOVE, first_days_before=6
    )
    found = finding(read("dissolved_oxygen", 6.0), history)
    assert found.flag is Flag.NOT_EVALUATED
    assert "leave nothing to compare" in found.message


def test_clear_water_with_zero_turbidity_among_the_references():
    history = by(TURBIDITY_METER, [0.0, 0.5, 1.0, 0.8, 1.2, 0.9, 1.1, 1.0, 0.0, 1.0])
    assert finding(read("turbidity", 0.0, kit=TURBIDITY_METER), history).flag is Flag.PASS
    assert finding(read("turbidity", 900.0, kit=TURBIDITY_METER), history).flag is Flag.SUSPECT


def test_the_local_date_decides_near_midnight():
    # 23:30 on 14 May in the site's zone is already 15 May in UTC; a reading of 14 May is of the same day
    late = datetime(2026, 5, 14, 23, 30, tzinfo=ZONE)
    history = [PastReading(date(2026, 5, 14), 12.0, None)] * 8
    assert finding(read("water_temperature", 12.0), history, observed_at=late).flag is Flag.NOT_EVALUATED


def test_a_visit_on_a_leap_day_has_a_season():
    leap_day = datetime(2028, 2, 29, 10, tzinfo=ZONE)
    history = [PastReading(date(year, 3, 20), 6.0, None) for year in range(2019, 2028)]
    found = finding(read("water_temperature", 6.0), history, observed_at=leap_day)
    assert (found.flag, found.evidence["references"]) == (Flag.PASS, 9)


def test_the_message_speaks_in_the_unit_of_the_class():
    reading = read("water_temperature", 77.0, kit=THERMOMETER_F, unit="degF")
    found = finding(reading, by(THERMOMETER_F, [12.0] * 10))
    assert found.message == (
        "Water temperature 77 °F is far from what is usual at this site: about 53.6 °F on 10 earlier "
        "days at this time of year."
    )
    assert found.evidence["usual"] == 12.0


@pytest.mark.parametrize(
    ("conditions", "in_message", "asks_for_rain"),
    [({}, False, True), ({"rain_48h_mm": 18.0}, True, False), ({"rain_48h_mm": 0.0}, False, False)],
)
def test_rain_is_asked_for_or_named(conditions, in_message, asks_for_rain):
    reading = read("transparency", 12, kit=TUBE_120)
    found = finding(reading, by(TUBE_120, TUBE_REFERENCES), conditions=conditions)
    assert ("18 mm of rain" in found.message) is in_message
    assert ("how much rain fell" in found.advice) is asks_for_rain


def test_statistics_alone_never_fail_a_reading():
    found = finding(read("water_temperature", 500.0), weekly([12.0] * 60, ON))
    assert found.flag is Flag.SUSPECT
