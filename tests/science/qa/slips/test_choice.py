"""Which slip is named where several could be, and with which finding."""

from dataclasses import replace
from datetime import datetime

import pytest

from service.science.flags import Flag
from service.science.qa.check import ReadingCheck, Stage
from service.science.qa.explained import assess_with_slips
from service.science.qa.registry import CHECKS
from service.science.types import Finding, LikelySlip, NeighbourAnomaly, VisitKind
from tests.science.qa.limits import limits_for
from tests.science.qa.slips.planted import NOON, checked, named, past, row, visit_of
from tests.science.qa.visits import ZONE, weekly

THERMOMETER, DIGITAL = "thermometer-alcohol", "thermometer-digital"
TITRATOR, TUBE = "oxygen-titrator", "transparency-tube-120"
EARLY = datetime(2026, 5, 14, 7, 0, tzinfo=ZONE)


def water(value, kit=THERMOMETER):
    return row("water_temperature", value, kit, "degC")


def oxygen(value, kit=TITRATOR, **how):
    return row("dissolved_oxygen", value, kit, "mg/L", **how)


def kinds(visit):
    return {where: slip.kind for where, (slip, _) in named(checked(visit)).items()}


# Half of these lie within 1.0 of 5.0, so the spread is 1.48.
NEAR_5 = {"water_temperature": past([3, 4, 4, 5, 5, 5, 6, 6, 7, 4, 6, 5], DIGITAL)}


@pytest.mark.parametrize(
    ("value", "kind"),
    [
        pytest.param(44.0, "fahrenheit-as-celsius", id="6.7 (1.1 spreads) or 4.4 (0.4): the commoner slip"),
        pytest.param(46.0, "decimal-point-lost", id="7.8 (1.9 spreads) or 4.6 (0.3): clearly nearer"),
    ],
)
def test_the_nearest_to_the_season_is_named_and_of_equals_the_first(value, kind):
    assert kinds(visit_of(water(value, DIGITAL), past=NEAR_5)) == {0: kind}


def test_the_slip_that_brings_most_readings_in_order_is_named():
    # 9 mg/L in water of 14 degC, exchanged; the air of 12 alone would explain the water, but not the oxygen.
    near = {
        "water_temperature": past([12, 12.5, 13, 12.5] * 5, THERMOMETER),
        "dissolved_oxygen": past([9.0, 9.2, 8.8, 9.0] * 5, TITRATOR),
    }
    visit = visit_of(water(9.0), oxygen(14.0), past=near, conditions={"air_temperature_c": 12.5})
    exchanged = "water-temperature-and-dissolved-oxygen-exchanged"
    assert kinds(visit) == {0: exchanged, 1: exchanged}


def test_a_reading_that_is_held_for_the_slip_of_another_is_left_alone():
    # 37 degF (2.8 degC) as degC: 13 mg/L would be 192 % in water so warm, and is 96 % in the cold. 13 drops
    # (6.5 mg/L) would explain the oxygen, but not the water.
    visit = visit_of(water(37.0), oxygen(13.0, "oxygen-drop-count"))
    assert [reading.flag for reading in checked(visit).readings] == [Flag.SUSPECT, Flag.SUSPECT]
    assert kinds(visit) == {0: "fahrenheit-as-celsius"}


def test_a_slip_that_makes_another_reading_worse_is_not_named():
    # At seven in the morning 126 % are too much: 14.2 mg/L in water of 10 degC (50 degF), not of 5 degC
    assert kinds(visit_of(water(50.0), oxygen(14.2, None))) == {0: "fahrenheit-as-celsius"}
    assert kinds(visit_of(water(50.0), oxygen(14.2, None), observed_at=EARLY)) == {0: "decimal-point-lost"}


def checks_with_slip(visit):
    reading = checked(visit).readings[0]
    return [(result.check, result.finding.flag) for result in reading.results if result.finding.likely_slip]


def test_a_bubble_that_was_not_asked_for_does_not_speak_against_a_slip():
    # 85 % in the box of mg/L: a number that fails is not asked how it was taken, one of 9.2 mg/L would be
    visit = visit_of(oxygen(85.0, procedure={"bubble_free": False}), water(12.0))
    assert checks_with_slip(visit) == [("gross-range", Flag.FAIL)]
    assert kinds(visit) == {0: "percent-as-mg-per-l"}


def test_the_slip_stands_with_the_finding_that_it_explains():
    # 34 degF as degC, and read after five seconds: that is told of any number
    near_1 = {"water_temperature": past([1, 2, 0, 1.5] * 3, THERMOMETER)}
    hasty = row("water_temperature", 34.0, THERMOMETER, procedure={"seconds_in_water": 5.0})
    assert checks_with_slip(visit_of(hasty, past=near_1)) == [("site-outlier", Flag.SUSPECT)]


def test_the_slip_stands_with_the_worst_finding_and_asks_first():
    # pH 12 is rare in a stream (suspect) and beyond the card (fail); with the water of 7 it changed places
    visit = visit_of(row("ph", 12.0, "ph-comparator-wide"), water(7.0))
    assert checks_with_slip(visit) == [("kit-scale", Flag.FAIL)]
    advice = named(checked(visit))[0][1].advice
    assert advice.startswith("Did pH and water temperature change places? Then it would be 7. Read it again")


def test_a_slip_that_a_check_names_itself_stands_alone():
    own = LikelySlip("wet-thermometer", 11.0)
    names_it = ReadingCheck("wet", 1, Stage.CONSISTENCY, lambda *_: Finding(Flag.SUSPECT, "", {}, "", own))
    found = assess_with_slips(visit_of(water(38.0)), [*CHECKS, names_it], limits_for)
    slips = [(result.check, result.finding.likely_slip) for result in found.readings[0].results]
    assert [(check, slip) for check, slip in slips if slip] == [("wet", own)]


def test_a_slip_with_a_number_goes_before_one_without():
    near = {
        "ph": past([7.0, 7.5, 7.0] * 4, "ph-comparator-wide"),
        "water_temperature": past([0.0, 0.5, 0.0] * 4, THERMOMETER),
    }
    exchanged = "ph-and-water-temperature-exchanged"
    assert kinds(visit_of(row("ph", 0.0, "ph-comparator-wide"), water(7.0), past=near))[0] == exchanged


def at_latitude(visit, latitude):
    return replace(visit, site=replace(visit.site, latitude=latitude))


def test_without_a_past_the_latitude_knows_the_season():
    january = datetime(2026, 1, 15, 12, tzinfo=ZONE)
    # 25 for 2.5 degC in January at 44 degrees north; nobody knows where latitude and past are unknown
    visit = visit_of(water(25.0), observed_at=january, conditions={"air_temperature_c": 2.0})
    assert checked(visit).flag is Flag.SUSPECT
    assert kinds(visit) == {}
    assert kinds(at_latitude(visit, 44.0)) == {0: "decimal-point-lost"}


TUBES = [62, 70, 58, 75, 80, 66, 71, 69, 60, 73, 77, 64, 68, 72, 55, 70, 66, 74, 63, 70]
RESIDUALS = [0, 0.05, -0.04, 0.1, -0.08, 0.02, -0.05, 0.06, 0.01, -0.02]


def tube_among_neighbours(value, *anomalies):
    before = weekly(TUBES, NOON.date(), kit=TUBE, kind="tube")
    known = [replace(one, residual=residual) for one, residual in zip(before, RESIDUALS * 2, strict=True)]
    visit = visit_of(row("transparency", value, TUBE, "cm"), past={"transparency": tuple(known)})
    near = tuple(NeighbourAnomaly(f"site-{n}", anomaly, TUBE, "tube") for n, anomaly in enumerate(anomalies))
    return replace(visit, neighbours={"transparency": near})


def test_neighbours_that_did_not_move_speak_for_a_slip():
    # 7 for 70 without a word of rain: the neighbours had none (scheme case D3)
    assert kinds(tube_among_neighbours(7.0)) == {}
    assert kinds(tube_among_neighbours(7.0, 0.02, -0.03, 0.01, 0.05)) == {0: "decimal-point-too-far-left"}


def test_what_fits_the_week_of_the_neighbours_fits_the_season():
    # 120 for 12 in a storm that all saw (scheme case D2): 12 is far from the past and near to the neighbours
    assert kinds(tube_among_neighbours(120.0, -0.7, -0.65, -0.5, -0.66)) == {0: "decimal-point-lost"}


def test_rain_that_muddies_a_tube_never_clears_it():
    near_12_cm = {"transparency": past([12, 13, 11, 12, 14, 12] * 4, TUBE)}
    tube = row("transparency", 120.0, TUBE, "cm")
    assert kinds(visit_of(tube, past=near_12_cm, conditions={"rain_48h_mm": 20.0})) == {
        0: "decimal-point-lost"
    }


def test_rain_brings_no_number_that_the_kit_cannot_show():
    near_2_mg = {"nitrate": past([2.0, 2.0, 1.0, 2.0] * 4, "nitrate-zinc-comparator")}
    nitrate = row("nitrate", 20.0, "nitrate-zinc-comparator", "mg/L as N")
    assert kinds(visit_of(nitrate, past=near_2_mg, conditions={"rain_48h_mm": 20.0})) == {
        0: "decimal-point-lost"
    }


def test_a_blank_is_explained_as_far_as_no_season_is_needed():
    blank = replace(visit_of(row("ph", 75.0, "ph-comparator-wide")), kind=VisitKind.FIELD_BLANK)
    assert kinds(blank) == {0: "decimal-point-lost"}
    nitrate = replace(visit_of(row("nitrate", 4.0, "nitrate-zinc-comparator")), kind=VisitKind.FIELD_BLANK)
    assert checked(nitrate).flag is Flag.SUSPECT
    assert kinds(nitrate) == {}
