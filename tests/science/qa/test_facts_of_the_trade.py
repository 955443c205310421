"""What anybody who has done this job knows. Common practice of the trade: no document stands behind it."""

from dataclasses import replace
from datetime import datetime

import pytest

from service.science.flags import Flag
from service.science.qa.engine import assess
from service.science.qa.registry import CHECKS
from tests.science.kits import read
from tests.science.qa.limits import CATALOGUE, limits_for
from tests.science.qa.visits import ZONE, visit_with

PH_TABLETS = CATALOGUE.kits["ph-tablet-comparator"]
OXYGEN_TABLETS = CATALOGUE.kits["oxygen-tablet-comparator"]
THERMOMETER = CATALOGUE.kits["thermometer-alcohol"]


def answer(check, *readings, observed_at=datetime(2026, 5, 14, 14, tzinfo=ZONE), latitude=None):
    """Return what a check says of the first reading when all checks run with the real limits."""
    visit = visit_with(*readings, observed_at=observed_at)
    visit = replace(visit, site=replace(visit.site, latitude=latitude))
    results = assess(visit, CHECKS, limits_for).readings[0].results
    return next(result.finding for result in results if result.check == check)


def with_kit(kit, value, **procedure):
    return read(kit.parameter, value, kit=kit, unit=kit.unit, procedure=procedure)


@pytest.mark.parametrize(("seconds", "flag"), [(15, 3), (30, 1), (60, 1)])
def test_a_thermometer_stays_in_the_water_for_30_to_60_seconds(seconds, flag):
    # common practice, no source
    assert answer("thermometer-time", with_kit(THERMOMETER, 12.0, seconds_in_water=seconds)).flag == flag


def test_one_ph_tablet_goes_into_10_ml():
    # common practice, no source
    assert (PH_TABLETS.tablets, PH_TABLETS.sample_ml) == (1, 10)
    assert answer("reagent-amount", with_kit(PH_TABLETS, 7, tablets=1, sample_ml=10.0)).flag is Flag.PASS
    assert answer("reagent-amount", with_kit(PH_TABLETS, 7, tablets=2, sample_ml=10.0)).flag is Flag.SUSPECT
    assert answer("reagent-amount", with_kit(PH_TABLETS, 7, tablets=1, sample_ml=5.0)).flag is Flag.SUSPECT


def test_the_oxygen_tube_is_filled_to_the_brim_without_a_bubble():
    # common practice, no source
    assert OXYGEN_TABLETS.sample_ml is None  # the brim is the line
    assert "to the brim" in OXYGEN_TABLETS.instructions
    assert "no bubble" in OXYGEN_TABLETS.instructions
    assert answer("bubble", with_kit(OXYGEN_TABLETS, 8, bubble_free=True)).flag is Flag.PASS
    assert answer("bubble", with_kit(OXYGEN_TABLETS, 8, bubble_free=False)).flag is Flag.SUSPECT


def test_the_oxygen_tube_gets_two_tablets():
    # common practice, no source
    assert "two tablets" in OXYGEN_TABLETS.instructions
    assert answer("reagent-amount", with_kit(OXYGEN_TABLETS, 8, tablets=2)).flag is Flag.PASS
    assert answer("reagent-amount", with_kit(OXYGEN_TABLETS, 8, tablets=1)).flag is Flag.SUSPECT


@pytest.mark.parametrize(("minutes", "flag"), [(3, 3), (5, 1), (6, 1)])
def test_the_oxygen_tube_is_read_after_five_minutes(minutes, flag):
    # common practice, no source
    assert "Wait five minutes" in OXYGEN_TABLETS.instructions
    assert answer("waiting-time", with_kit(OXYGEN_TABLETS, 8, minutes_waited=minutes)).flag == flag


@pytest.mark.parametrize(("undisturbed", "flag"), [(True, 1), (False, 3)])
def test_the_transparency_tube_is_filled_where_nothing_was_stirred_up(undisturbed, flag):
    # common practice, no source
    tube = CATALOGUE.kits["transparency-tube-60"]
    assert answer("disturbed-water", with_kit(tube, 30, undisturbed_water=undisturbed)).flag == flag


@pytest.mark.parametrize(("value", "month", "flag"), [(25.0, 3, 3), (6.0, 3, 1), (25.0, 7, 1)])
def test_a_small_stream_in_march_is_cold_so_25_degrees_are_suspect_at_a_new_site(value, month, flag):
    # common practice, no source; 40 degrees north, nothing known of the site yet
    on = datetime(2026, month, 15, 11, tzinfo=ZONE)
    found = answer("season-default", with_kit(THERMOMETER, value), observed_at=on, latitude=40.0)
    assert found.flag == flag


def test_riffles_raise_oxygen_and_decaying_plants_lower_it():
    # common practice, no source: little and much oxygen call for different advice
    warm = read("water_temperature", 25.0, position=1)
    low = answer("oxygen-saturation", read("dissolved_oxygen", 1.0), warm)
    high = answer("oxygen-saturation", read("dissolved_oxygen", 14.0), warm)
    assert (low.flag, high.flag) == (Flag.SUSPECT, Flag.SUSPECT)
    assert "riffle brings oxygen in" in low.advice
    assert "dead plants" in low.advice
    assert "bubble" in high.advice
    assert low.advice != high.advice
