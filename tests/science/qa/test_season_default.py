from dataclasses import replace
from datetime import date, datetime

import pytest

from service.science.flags import Flag
from service.science.qa.checks import season_default, site_outlier
from tests.science.kits import OXYGEN_METER, THERMOMETER, THERMOMETER_F, THERMOMETER_WITHIN_1, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import ZONE, visit_with, weekly

LIMITS = limits_for("season-default", "water_temperature")


def at(latitude, day, *readings, elevation_m=0.0, history=()):
    on = date.fromisoformat(day)
    visit = visit_with(
        *readings,
        observed_at=datetime(on.year, on.month, on.day, 11, tzinfo=ZONE),
        elevation_m=elevation_m,
        history={"water_temperature": tuple(history)},
    )
    return replace(visit, site=replace(visit.site, latitude=latitude))


def finding(value, latitude, day, kit=THERMOMETER, limits=LIMITS, **about):
    reading = read("water_temperature", value, kit=kit, unit=kit.unit if kit else None)
    return season_default.run(reading, at(latitude, day, reading, **about), limits)


@pytest.mark.parametrize(
    ("value", "latitude", "day", "flag"),
    [
        # a small stream in March is cold, so 25 degC is suspect then: common practice of the trade
        (25.0, 40.0, "2026-03-15", 3),
        (25.0, -40.0, "2026-09-15", 3),
        (25.0, -40.0, "2026-03-15", 1),
        (25.0, 40.0, "2026-07-15", 1),
        (14.0, 40.0, "2026-03-15", 1),
        (38.0, 40.0, "2026-01-20", 3),
        # winter at 45 degrees: expected 0, so up to 12 + half a step
        (12.0, 45.0, "2026-01-29", 1),
        (12.5, 45.0, "2026-01-29", 3),
        # summer at 45 degrees: expected 22, so down to 4 - half a step; up to 34
        (4.0, 45.0, "2026-07-31", 1),
        (3.5, 45.0, "2026-07-31", 3),
        (34.0, 45.0, "2026-07-31", 1),
        (34.5, 45.0, "2026-07-31", 3),
        # on the equator it is warm all the year
        (25.0, 0.0, "2026-03-15", 1),
        (5.0, 0.0, "2026-03-15", 3),
    ],
)
def test_what_a_season_allows(value, latitude, day, flag):
    assert finding(value, latitude, day).flag == flag


@pytest.mark.parametrize(("kit", "flag"), [(None, 3), (THERMOMETER, 3), (THERMOMETER_WITHIN_1, 1)])
def test_the_whole_interval_must_be_out(kit, flag):
    # 12.5 degC where 12 is the end: +- 0.25 by the step is out, +- 1 by the thermometer reaches down to 11.5
    assert finding(12.5, 45.0, "2026-01-29", kit=kit).flag == flag


@pytest.mark.parametrize(("elevation_m", "flag"), [(0.0, 3), (1000.0, 1), (None, 1)])
def test_cold_is_judged_by_elevation(elevation_m, flag):
    # 3 degC on the warmest day at 45 degrees: 4 is the end at sea level, 4 - 6.5 at 1000 m
    assert finding(3.0, 45.0, "2026-07-31", elevation_m=elevation_m).flag == flag


@pytest.mark.parametrize("elevation_m", [0.0, 2500.0, None])
def test_warm_is_suspect_whatever_the_elevation(elevation_m):
    assert finding(30.0, 40.0, "2026-03-15", elevation_m=elevation_m).flag is Flag.SUSPECT


@pytest.mark.parametrize("days", [7, 8])
def test_it_steps_back_exactly_when_the_history_can_speak(days):
    history = weekly([6.0] * days, date(2026, 3, 15), kit=THERMOMETER.code, kind=THERMOMETER.kind)
    reading = read("water_temperature", 25.0, kit=THERMOMETER)
    visit = at(40.0, "2026-03-15", reading, history=history)
    by_history = site_outlier.run(reading, visit, limits_for("site-outlier", "water_temperature"))
    by_season = season_default.run(reading, visit, LIMITS)
    suspect, silent = (by_season, by_history) if days == 7 else (by_history, by_season)
    assert suspect.flag is Flag.SUSPECT
    assert silent is None or silent.flag is Flag.NOT_EVALUATED


@pytest.mark.parametrize(
    "history",
    [
        weekly([6.0] * 20, date(2026, 3, 15), kit=OXYGEN_METER.code, kind=OXYGEN_METER.kind),
        weekly([16.0] * 20, date(2025, 9, 15), kit=THERMOMETER.code, kind=THERMOMETER.kind),
        weekly([6.0] * 20, date(2026, 3, 15)),
        tuple(
            replace(past, on=date(2026, 3, 10))
            for past in weekly([6.0] * 20, date(2026, 3, 15), kit=THERMOMETER.code, kind=THERMOMETER.kind)
        ),
    ],
    ids=["another kind of method", "another season", "no kit", "one day"],
)
def test_what_is_no_history_of_its_own(history):
    assert finding(25.0, 40.0, "2026-03-15", history=history).flag is Flag.SUSPECT


def test_sixty_days_to_either_side_are_this_season():
    history = weekly(
        [6.0] * 8, date(2026, 1, 22), kit=THERMOMETER.code, kind=THERMOMETER.kind, first_days_before=1
    )
    # 22 January less 1 to 8 days: 14 to 21 January, 60 days before 15 to 22 March
    assert finding(25.0, 40.0, "2026-03-15", history=history) is None
    assert finding(25.0, 40.0, "2026-03-16", history=history).flag is Flag.SUSPECT


def test_an_unknown_place_is_not_evaluated_and_stays_quiet():
    found = finding(25.0, None, "2026-03-15")
    assert (found.flag, found.advice) == (Flag.NOT_EVALUATED, "")


def test_the_message_speaks_of_the_month_in_the_unit_of_the_class():
    found = finding(77.0, 40.0, "2026-03-15", kit=THERMOMETER_F)
    # 19.1 degC is 66.4 degF
    assert found.message == (
        "Water temperature 77 °F is much warmer than small streams are here in March: hardly ever over 66 °F."
        " This site has too few readings of its own to know better."
    )
    assert "is it °F?" in found.advice
    assert "much colder" in finding(1.0, 45.0, "2026-07-31").message


@pytest.mark.parametrize(
    ("censored", "flag"),
    [("<", 1), (">", 3)],
)
def test_only_the_certain_side_of_a_censored_reading_counts(censored, flag):
    reading = read("water_temperature", 25.0, censored=censored)
    assert season_default.run(reading, at(40.0, "2026-03-15", reading), LIMITS).flag == flag
