"""What must stay unexplained: readings that may well be true, and guesses."""

import pytest

from service.science.flags import Flag
from service.science.types import Censoring
from tests.science.qa.slips.planted import DRY_WEATHER, checked, named, past, row, visit_of

THERMOMETER, DIGITAL, TUBE = "thermometer-alcohol", "thermometer-digital", "transparency-tube-120"
AS_N = "mg/L as N"
NEAR_45 = {"water_temperature": past([45, 45.5, 46, 45] * 3)}
NEAR_11 = {"water_temperature": past([10, 11, 12, 11] * 3, DIGITAL)}
NEAR_12 = {"water_temperature": past([12, 11.5, 12, 12.5] * 3, THERMOMETER)}
CLEAR = {"transparency": past([70, 72, 75, 66, 69, 71] * 4, TUBE)}
NEAR_1_MG = {"nitrate": past([1.0, 1.1, 0.9, 1.0] * 4)}
RAIN, STORM, AIR_11 = (
    {"rain_48h_mm": 12.0},
    {"rain_48h_mm": 0.0, "flow": "flood"},
    {"air_temperature_c": 11.0},
)
AIR_13, AIR_3 = {"air_temperature_c": 13.0}, {"air_temperature_c": 3.0}


def one(parameter, value, kit=None, unit=None, *others, **around):
    return visit_of(row(parameter, value, kit, unit), *others, **around)


WATER_4, WATER_12, WATER_18 = (row("water_temperature", value, THERMOMETER) for value in (4.0, 12.0, 18.0))
UNEXPLAINED = {
    "a hot spring that is always hot": one("water_temperature", 45.5, past=NEAR_45),
    "hardly any oxygen below a drain": one("dissolved_oxygen", 1.0, "oxygen-titrator", None, WATER_18),
    "a tube in rain, as low as inches": one("transparency", 28.0, TUBE, past=CLEAR, conditions=RAIN),
    "a tube in a flood, as low as inches": one("transparency", 28.0, TUBE, past=CLEAR, conditions=STORM),
    "a tube, and nobody noted the rain": one("transparency", 28.0, TUBE, past=CLEAR),
    "nitrate after rain, as high as NO3": one("nitrate", 4.4, None, AS_N, past=NEAR_1_MG, conditions=RAIN),
    "nitrate as high as NO3, without kit and past": one("nitrate", 22.0, None, AS_N, conditions=DRY_WEATHER),
    "nitrate guessed between two colours": one("nitrate", 3.0, "nitrate-zinc-comparator", AS_N, WATER_4),
    "pH guessed between two colours": one("ph", 7.5, "ph-tablet-comparator", None, WATER_4),
    "the wrong tube was named": one("transparency", 75.0, "transparency-tube-60"),
    "water warmer than air, without a past": one("water_temperature", 27.0, THERMOMETER, conditions=AIR_13),
    "no air is 24 degrees above a stream": one(
        "water_temperature", 35.4, DIGITAL, past=NEAR_11, conditions=AIR_11
    ),
    "a titrator counts no drops": one("dissolved_oxygen", 18.0, "oxygen-titrator", None, WATER_12),
    "more colonies than are counted": one("e_coli", 160.0, "e-coli-plate-1ml", "CFU/100 mL"),
    "no oxygen at all may be true": one("dissolved_oxygen", 0.0, "oxygen-meter", None, WATER_18),
    "water at freezing below cold air": one(
        "water_temperature", 0.0, THERMOMETER, past=NEAR_12, conditions=AIR_3
    ),
    "58 °F would be 14.4 °C at a site near 12": one("water_temperature", 58.0, THERMOMETER, past=NEAR_12),
    "pH 13 without a kit may be lye": one("ph", 13.0, None, None, row("water_temperature", 8.0, THERMOMETER)),
    "510 is no pressure of sea level in any unit": one("barometric_pressure", 510.0, None, "hPa"),
    "510 may be mmHg or hPa, if nobody knows how high": one(
        "barometric_pressure", 510.0, None, "hPa", elevation_m=None
    ),
}


@pytest.mark.parametrize("visit", UNEXPLAINED.values(), ids=UNEXPLAINED.keys())
def test_a_held_reading_without_a_fitting_slip_stays_unexplained(visit):
    found = checked(visit)
    assert found.readings[0].flag in (Flag.SUSPECT, Flag.FAIL)
    assert named(found) == {}


def test_a_good_visit_is_left_alone():
    found = checked(visit_of(WATER_12, row("ph", 7.5, "ph-comparator-wide"), row("dissolved_oxygen", 9.6)))
    assert (found.flag, named(found)) == (Flag.PASS, {})


def test_a_written_limit_is_no_number_to_explain():
    # "> 64 degC" says nothing about what was read
    above = row("water_temperature", 64.0, THERMOMETER, censored=Censoring.ABOVE)
    found = checked(visit_of(above))
    assert (found.flag, named(found)) == (Flag.FAIL, {})
