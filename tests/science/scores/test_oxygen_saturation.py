from dataclasses import replace

import pytest

from service.science.scores.index import Standing
from service.science.scores.oxygen_saturation import INDEX
from tests.science.kits import OXYGEN_DROPS, OXYGEN_TABLETS, OXYGEN_TITRATOR, THERMOMETER, read
from tests.science.scores.definitions import DEFINITIONS
from tests.science.scores.measured import measured


def score(*readings, seed=1, **more):
    return INDEX.score(measured(*readings, **more), DEFINITIONS["oxygen-saturation"], seed)


def exact(parameter, value, unit=None):
    """A reading with hardly any doubt, so that the number decides alone."""
    found = read(parameter, value, unit)
    return replace(found, low=found.value - 1e-6, high=found.value + 1e-6)


def water(value=20.0):
    return exact("water_temperature", value)


@pytest.mark.parametrize(
    ("oxygen", "temperature_c", "value", "band"),
    [
        # Saturation at 1 atm is 9.092426 mg/L at 20 degC, 14.620834 at 0, 7.558796 at 30 (Benson & Krause
        # 1984, worked out apart from this code; tables print 9.09, 14.62, 7.56). Bands: common practice.
        (8.0, 20.0, 88.0, "usual in daylight"),
        (2.0, 20.0, 22.0, "very low"),
        (2.682, 20.0, 29.0, "very low"),  # 29.497 %
        (2.683, 20.0, 30.0, "low"),  # 29.508 %, half up
        (5.410, 20.0, 60.0, "usual in daylight"),  # 59.500 %
        (5.409, 20.0, 59.0, "low"),  # 59.489 %
        (11.41, 20.0, 125.0, "usual in daylight"),  # 125.49 %
        (11.42, 20.0, 126.0, "high"),  # 125.60 %
        (12.77, 20.0, 140.0, "high"),  # 140.45 %
        (12.78, 20.0, 141.0, "very high"),  # 140.56 %
        (14.0, 0.0, 96.0, "usual in daylight"),
        (7.5, 30.0, 99.0, "usual in daylight"),
    ],
)
def test_percent_and_band(oxygen, temperature_c, value, band):
    found = score(exact("dissolved_oxygen", oxygen), water(temperature_c))
    assert (found.value, found.band, found.standing) == (value, band, Standing.RATED)
    assert found.inputs == ("dissolved_oxygen", "water_temperature")


def test_without_oxygen_there_is_no_score():
    assert score(water(), read("ph", 7)) is None


def test_what_is_read_besides_is_used_and_what_is_assumed_is_said():
    oxygen = exact("dissolved_oxygen", 8.0)
    assumed = score(oxygen, water(), elevation_m=1000.0)
    assert assumed.reasons == ("assumed: pressure from elevation, fresh water",)
    # 8 mg/L of 8.041 mg/L at 1000 m and of 8.079980 at 902.9589 hPa (Benson & Krause 1984 and U.S. Standard
    # Atmosphere 1976, worked out apart from this code); 1000 uS/cm lower it by 0.33 %, which gives 99.3.
    assert assumed.value == 99.0
    salts, pressure = read("specific_conductance", 1000.0), read("barometric_pressure", 902.9589)
    known = score(oxygen, water(), salts, pressure, elevation_m=1000.0)
    assert (known.value, known.reasons) == (99.0, ())
    assert known.inputs == (
        "dissolved_oxygen", "water_temperature", "specific_conductance", "barometric_pressure",
    )  # fmt: skip


def test_the_interval_is_the_middle_nine_tenths_of_what_the_kits_leave_open():
    # 8 +- 0.25 mg/L in water of 20 degC exactly: 85.2 to 90.7 %, uniform; its middle nine tenths are 85.5 to
    # 90.5, within 0.15 for 1000 draws, shown as whole numbers.
    drops = read("dissolved_oxygen", 8.0, kit=OXYGEN_DROPS)
    found = score(drops, water())
    assert (found.low, found.value, found.high) == (86.0, 88.0, 90.0)
    assert found.bands == {"usual in daylight": 1.0}


def test_the_chance_of_each_band_is_its_share_of_the_interval():
    # 4 to 6 mg/L of 9.092426: below 59.5 % lie 4 to 5.40999 mg/L, 0.705 of it; four standard deviations of
    # 1000 draws are 0.058 (binomial distribution).
    oxygen = replace(read("dissolved_oxygen", 5.0), low=4.0, high=6.0)
    found = score(oxygen, water())
    assert (found.band, found.standing) == ("low", Standing.RATED)
    assert found.bands["low"] == pytest.approx(0.705, abs=0.058)
    assert sum(found.bands.values()) == pytest.approx(1.0)


def test_the_doubt_of_the_thermometer_widens_the_interval():
    oxygen = exact("dissolved_oxygen", 8.0)
    rough = replace(read("water_temperature", 20.0), low=15.0, high=25.0)
    found = score(oxygen, rough)
    # 8 mg/L is 79.33 % at 15 degC and 96.81 % at 25 degC (saturation 10.083858 and 8.263457 mg/L)
    assert 79 <= found.low <= 81
    assert 95 <= found.high <= 97


def test_water_is_never_drawn_colder_than_ice():
    ice = replace(read("water_temperature", 0.0), low=-1.0, high=1.0)
    found = score(exact("dissolved_oxygen", 14.0), ice)
    assert (found.value, found.standing) == (96.0, Standing.RATED)
    # 14 mg/L is 95.75 % at 0 degC and 98.5 % at 1 degC (saturation 14.2 mg/L)
    assert found.low == 96.0


@pytest.mark.parametrize(
    ("oxygen", "value", "low", "high", "band", "told"),
    [
        # 4 mg/L is 43.99 %, 1 mg/L 11.0 %, 15 mg/L 165 % of 9.092426 mg/L
        (read("dissolved_oxygen", 0, kit=OXYGEN_TABLETS), 44.0, None, 44.0, None, "less than 44 %"),
        (read("dissolved_oxygen", 1.0, censored="<"), 11.0, None, 11.0, "very low", "less than 11 %"),
        (read("dissolved_oxygen", 15.0, censored=">"), 165.0, 165.0, None, "very high", "more than 165 %"),
        (read("dissolved_oxygen", 10.0, censored=">"), 110.0, 110.0, None, None, "more than 110 %"),
    ],
)
def test_oxygen_beyond_a_limit_leaves_one_side_open(oxygen, value, low, high, band, told):
    found = score(oxygen, water())
    assert (found.value, found.low, found.high, found.band) == (value, low, high, band)
    assert found.bands == ({} if band is None else {band: 1.0})
    assert found.standing is Standing.PROVISIONAL
    assert told in found.reasons[0]


@pytest.mark.parametrize(
    ("beside", "told"),
    [
        ([], "needs the water temperature"),
        ([read("water_temperature", 5.0, censored="<")], "needs the water temperature as a number"),
        ([exact("water_temperature", 41.0)], "0 to 40"),
    ],
)
def test_without_a_temperature_that_serves_the_score_is_missing_and_says_so(beside, told):
    found = score(exact("dissolved_oxygen", 8.0), *beside)
    assert (found.value, found.band, found.standing, found.inputs) == (None, None, Standing.MISSING, ())
    assert told in found.reasons[0]


def test_the_percentage_of_a_meter_serves_where_none_can_be_worked_out():
    shown = exact("dissolved_oxygen_saturation", 74.0)
    for readings in ([shown], [shown, exact("dissolved_oxygen", 8.0)]):
        found = score(*readings)
        assert (found.value, found.band) == (74.0, "usual in daylight")
        assert (found.inputs, found.reasons) == (("dissolved_oxygen_saturation",), ())
    both = score(shown, exact("dissolved_oxygen", 8.0), water())
    assert both.value == 88.0


@pytest.mark.parametrize("doubted", [0, 1])
def test_a_doubted_reading_makes_the_score_provisional(doubted):
    found = score(exact("dissolved_oxygen", 8.0), water(), doubted=(doubted,))
    named = ("dissolved oxygen", "water temperature")[doubted]
    assert found.standing is Standing.PROVISIONAL
    assert f"a check is in doubt about the {named}" in found.reasons


def test_a_repeat_that_is_not_in_doubt_goes_before_one_that_is():
    first, second = exact("dissolved_oxygen", 2.0), replace(exact("dissolved_oxygen", 8.0), replicate=2)
    found = score(first, second, water(), doubted=(0,))
    assert (found.value, found.standing) == (88.0, Standing.RATED)
    assert score(first, second, water()).value == 22.0


@pytest.mark.parametrize("kit", [None, THERMOMETER], ids=["none", "thermometer"])
def test_without_a_kit_nobody_can_tell_the_doubt(kit):
    found = score(read("dissolved_oxygen", 8.0), read("water_temperature", 20.0, kit=kit))
    assert (found.value, found.low, found.high, found.bands) == (88.0, None, None, {})
    assert "dissolved oxygen" in found.reasons[-1]
    assert "no kit was named" in found.reasons[-1]


def test_the_same_visit_always_gets_the_same_numbers():
    readings = (
        read("dissolved_oxygen", 8.0, kit=OXYGEN_TITRATOR),
        read("water_temperature", 20, kit=THERMOMETER),
    )
    assert score(*readings, seed=5) == score(*readings, seed=5)
