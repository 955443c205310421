"""How a stream's profile is told: what changes and where, what else it may be, what limits it."""

import math

import pytest

from service.science.stream_profile import profile
from service.science.stream_profile_limits import limits_of
from service.science.stream_profile_words import Measure, amount_words, where_it_changes, where_most_changes
from tests.science.check_table import rows
from tests.science.stream_sites import OXYGEN, TUBE, levels, only, reading, site


def test_the_worked_example_in_words():
    days = rows("paired_days_oxygen")
    places = ("upstream", "middle", "downstream")
    sites = [levels(name, *(float(day[name]) for day in days)) for name in places]
    told = where_it_changes(profile(sites, swings_daily=True), OXYGEN)
    assert told.startswith(
        "Dissolved oxygen falls between middle and downstream by about 1.2 mg/L: it was lower downstream on "
        "10 of 10 days on which both were read."
    )
    assert "between upstream and middle" not in told
    assert "side stream" in told
    assert "read dissolved oxygen at a place between middle and downstream" in told


def test_a_rise_is_told_as_a_rise():
    found = only(levels("a", *[8.0] * 7), levels("b", *[9.0] * 7))
    assert where_it_changes([found], Measure("pH", "std units")).startswith(
        "pH rises between a and b by about 1: it was higher downstream on 7 of 7 days"
    )


def test_of_several_changes_the_largest_is_named_for_the_next_step():
    found = profile(
        [levels("a", *[9.0] * 8), levels("b", *[8.6] * 8), levels("c", *[6.0] * 8), levels("d", *[7.0] * 8)],
        swings_daily=False,
    )
    told = where_it_changes(found, Measure("dissolved oxygen", "mg/L", caution="Warm water holds less."))
    assert "The largest change is between b and c." in told
    assert "at a place between b and c as well" in told
    assert "rises between c and d by about 1 mg/L" in told
    assert "Warm water holds less." in told
    assert where_most_changes({"dissolved oxygen": found, "pH": found[:1], "nitrate": []}) == (
        "The largest change of dissolved oxygen (falls) lies between b and c. The largest change of pH "
        "(falls) lies between a and b. Nothing can be said yet of nitrate: too few days with neighbouring "
        "sites. A rise or a fall is told here, not whether it does harm."
    )


def test_nothing_found_is_not_told_as_nothing_there():
    found = only(levels("a", *[9.0] * 8), levels("b", *[9.0] * 8))
    assert "does not prove that there is none" in where_it_changes([found], OXYGEN)
    assert where_most_changes({"pH": [found]}).startswith("Between no two neighbouring sites")


def test_too_few_days_everywhere_says_what_to_plan():
    found = only(levels("a", 9.0), levels("b", 8.0))
    assert "cannot be told yet" in where_it_changes([found], OXYGEN)
    assert "Plan days" in where_it_changes([found], OXYGEN)
    assert "two sites" in where_it_changes([], OXYGEN)
    assert "two sites" in where_most_changes({"pH": []})


def test_what_limits_a_verdict_is_said():
    later = [reading(day, 8.0, 11.0, step=None, method=None) for day in range(7)]
    early = [reading(day, 9.0, 10.0, step=None, method=None) for day in range(7)]
    strange = [reading(8, 9.0, method="meter")], [reading(8, 8.0, method="comparator")]
    far = [reading(9, 9.0, 6.0)], [reading(9, 8.0, 10.0)]
    sites = site("a", *early, *strange[0], *far[0]), site("b", *later, *strange[1], *far[1])
    told = limits_of(only(*sites, swings_daily=True), OXYGEN, 1)
    assert told == (
        "Left out: 1 day (not read with the same kind of kit at both sites); 1 day (read more than 2 hours "
        "apart, and dissolved oxygen changes with the hour).",
        "On 7 days no kit is named: a difference counts there when the finest kit of the catalogue could "
        "tell it, and nobody can say whether both sites had the same one.",
        "The lower site is visited about 60 minutes later than the upper one, and dissolved oxygen changes "
        "with the hour: visit the lower one first now and then.",
    )


def test_without_a_named_kit_two_instruments_are_the_first_doubt():
    unnamed = {"step": 0.3, "method": None}
    found = only(levels("a", *[9.0] * 7, **unnamed), levels("b", *[8.0] * 7, **unnamed))
    assert "two different instruments would look just the same" in where_it_changes([found], OXYGEN)
    named = only(levels("a", *[9.0] * 7), levels("b", *[8.0] * 7))
    assert "instruments" not in where_it_changes([named], OXYGEN)


@pytest.mark.parametrize("days", [3, 7])
def test_too_few_days_for_so_many_reaches_is_said_of_tested_reaches_alone(days):
    found = only(levels("a", *[9.0] * days), levels("b", *[9.0] * days))
    assert limits_of(found, TUBE, 3) == ()  # three reaches need seven days


def test_two_schools_are_asked_to_read_both_sites_with_one_kit():
    found = only(levels("a", *[9.0] * 7), levels("b", *[8.0] * 7, school="otter"))
    assert limits_of(found, TUBE, 1) == (
        "Two schools read these sites, each with a kit of its own: read both sites once with one kit.",
    )


@pytest.mark.parametrize(
    ("bounds", "unit", "words"),
    [
        ((6.0, 6.0), "mg/L", "6 mg/L"),
        ((2.0, 4.0), "mg/L", "2 to 4 mg/L"),
        ((60.0, math.inf), "cm", "at least 60 cm"),
        ((-math.inf, -18.0), "cm", "at most -18 cm"),
        ((-math.inf, math.inf), "cm", "not known"),
        ((7.0, 7.0), "std units", "7"),
        ((4.21, 4.21), "", "4.21"),
    ],
)
def test_amounts_in_words(bounds, unit, words):
    assert amount_words(bounds, unit) == words
