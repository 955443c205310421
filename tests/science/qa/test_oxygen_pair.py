import pytest

from service.science.flags import Flag
from service.science.qa.checks import oxygen_pair
from service.science.types import Kit
from tests.science.kits import OXYGEN_METER, OXYGEN_TABLETS, OXYGEN_TITRATOR, THERMOMETER_WITHIN_1, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("oxygen-pair", "dissolved_oxygen_saturation")
PERCENT_METER = Kit(
    "percent-meter", "oxygen meter", "meter", "dissolved_oxygen_saturation", "%", 0, 200, step=1, accuracy=3
)
AT_20_C = read("water_temperature", 20.0)


def percent(value, **about):
    return read("dissolved_oxygen_saturation", value, **about)


def mg_per_l(value, **about):
    return read("dissolved_oxygen", value, **about)


def finding(reported, *others, elevation_m=0.0):
    return oxygen_pair.run(reported, visit_with(reported, *others, elevation_m=elevation_m), LIMITS)


@pytest.mark.parametrize(
    ("reported", "flag"),
    # 9.092 mg/L is saturation at 20 degC and 1 atm (Benson & Krause 1984), so 9 mg/L is 98.99 %; 10 points
    # apart is common practice
    [(98.0, 1), (88.99, 1), (88.97, 3), (108.98, 1), (109.1, 3), (70.0, 3)],
)
def test_ten_points_apart(reported, flag):
    assert finding(percent(reported), mg_per_l(9.0), AT_20_C).flag == flag


def test_the_elevation_of_the_site_counts():
    # saturation at 20 degC and 1000 m is 8.041 mg/L (Benson & Krause 1984 at 0.886993 atm): 8 mg/L is 99.5 %
    right = finding(percent(99.0), mg_per_l(8.0), AT_20_C, elevation_m=1000.0)
    assert right.flag is Flag.PASS
    assert right.evidence["computed_percent"] == pytest.approx(99.49, abs=0.02)


def test_a_percent_of_sea_level_at_a_high_site_is_recognised():
    # the same 8 mg/L is 87.99 % of 9.092 at sea level
    found = finding(percent(88.0), mg_per_l(8.0), AT_20_C, elevation_m=1000.0)
    assert found.flag is Flag.SUSPECT
    assert found.evidence["computed_percent_at_0_m"] == pytest.approx(87.99, abs=0.005)
    assert "At sea level it would be 88 %: elevation not applied?" in found.message
    assert found.advice.startswith("Tell the meter the elevation")


@pytest.mark.parametrize(
    ("reported", "recognised"), [(83.0, True), (82.9, False), (70.0, False), (111.0, False)]
)
def test_other_slips_are_not_called_elevation(reported, recognised):
    # within 5 points of the 87.99 % of sea level; 111 is too high for it
    found = finding(percent(reported), mg_per_l(8.0), AT_20_C, elevation_m=1000.0)
    assert found.flag is Flag.SUSPECT
    assert ("elevation not applied" in found.message) == recognised


def test_a_measured_pressure_counts_before_the_elevation():
    # 8 mg/L at 902.96 hPa is 99.01 % (Benson & Krause 1984), 11 points above the 88 of a meter at 1 atm
    pressure = read("barometric_pressure", 902.9589)
    found = finding(percent(88.0), mg_per_l(8.0), AT_20_C, pressure, elevation_m=None)
    assert found.evidence["computed_percent"] == pytest.approx(99.01, abs=0.005)
    assert "elevation not applied" in found.message


def test_what_the_kits_leave_open_must_be_apart_too():
    water = read("water_temperature", 20.0, kit=THERMOMETER_WITHIN_1)
    # 8 +- 2 mg/L is 65 to 112 %: it allows any meter between
    assert finding(percent(70.0, kit=PERCENT_METER), mg_per_l(8.0, kit=OXYGEN_TABLETS), water).flag == 1
    # 9 +- 0.4 mg/L in 20 +- 1 degC is 92.7 to 105.4 %: 84 +- 3 is out, 90 +- 3 is not
    assert finding(percent(84.0, kit=PERCENT_METER), mg_per_l(9.0, kit=OXYGEN_TITRATOR), water).flag == 3
    assert finding(percent(90.0, kit=PERCENT_METER), mg_per_l(9.0, kit=OXYGEN_TITRATOR), water).flag == 1


def test_bounds_that_part_by_less_than_the_limit_are_no_fault():
    # 9 +- 0.3 mg/L is at least 95.7 %, 91 +- 3 at most 94 %: apart, but the numbers differ by 8 only
    assert finding(percent(91.0, kit=PERCENT_METER), mg_per_l(9.0, kit=OXYGEN_METER), AT_20_C).flag == 1


@pytest.mark.parametrize(
    ("reported", "mark", "oxygen", "oxygen_mark", "flag"),
    [
        (60.0, None, 4.0, "<", 3),  # under 44 %: at least 16 apart
        (52.0, None, 4.0, "<", 1),  # at least 8 apart
        (40.0, None, 4.0, "<", 1),
        (200.0, ">", 9.0, None, 3),
        (60.0, ">", 9.0, None, 1),
    ],
)
def test_censored_values_count_with_what_is_certain(reported, mark, oxygen, oxygen_mark, flag):
    found = finding(percent(reported, censored=mark), mg_per_l(oxygen, censored=oxygen_mark), AT_20_C)
    assert found.flag == flag


def test_an_open_end_is_no_number_in_the_evidence():
    found = finding(percent(60.0, censored=">"), mg_per_l(9.0, censored=">"), AT_20_C)
    assert found.flag is Flag.PASS
    assert (found.evidence["computed_percent_to"], found.evidence["points_apart"]) == (None, None)


def test_a_censored_value_is_told_as_one():
    found = finding(percent(60.0), mg_per_l(4.0, censored="<"), AT_20_C)
    assert "does not fit < 4 mg/L at 20 °C: that is less than 44 % here" in found.message


def test_of_several_mg_per_l_the_nearest_counts():
    assert finding(percent(98.0), mg_per_l(4.0), mg_per_l(9.0), AT_20_C).flag is Flag.PASS


def test_a_slip_is_told_with_both_numbers():
    found = finding(percent(70.0), mg_per_l(9.0), AT_20_C)
    assert found.message == (
        "Oxygen of 70 % does not fit 9 mg/L at 20 °C: that is 99 % here. More than 10 points apart is too "
        "much."
    )
    assert "right boxes" in found.advice


@pytest.mark.parametrize(
    ("others", "elevation_m", "said", "advice"),
    [
        ([mg_per_l(9.0)], 0.0, "needs a water temperature", oxygen_pair.ADVICE_TEMPERATURE),
        ([mg_per_l(9.0), read("water_temperature", -0.5)], 0.0, "the formula needs", ""),
        ([mg_per_l(9.0), AT_20_C], 6000.0, "the formula needs", ""),
    ],
)
def test_without_what_it_needs_it_is_not_evaluated(others, elevation_m, said, advice):
    found = finding(percent(70.0), *others, elevation_m=elevation_m)
    assert (found.flag, found.advice) == (Flag.NOT_EVALUATED, advice)
    assert said in found.message


@pytest.mark.parametrize(("percent_read", "flag"), [(88.0, 3), (90.0, 2), (130.0, 2)])
def test_without_an_elevation_only_what_is_too_low_anywhere_is_judged(percent_read, flag):
    # 9 mg/L at 20 degC is 98.98 % at sea level (Benson & Krause 1984) and more on every mountain
    found = finding(percent(percent_read), mg_per_l(9.0), AT_20_C, elevation_m=None)
    assert found.flag == flag
    if flag == Flag.NOT_EVALUATED:
        assert found.advice == oxygen_pair.ADVICE_ELEVATION


def test_a_percent_alone_is_no_pair():
    assert finding(percent(70.0), AT_20_C, elevation_m=0.0) is None
