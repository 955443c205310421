from datetime import datetime

import pytest

from service.science.flags import Flag
from service.science.qa.checks import oxygen_ph
from tests.science.kits import OXYGEN_TABLETS, PH_HALF, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import ZONE, visit_with

LIMITS = limits_for("oxygen-ph", "ph")


def finding(ph, *others, clock="14:00", mark=None, kit=None, **about):
    reading = read("ph", ph, censored=mark, kit=kit)
    at = datetime.fromisoformat(f"2026-05-14T{clock}:00").replace(tzinfo=ZONE)
    return oxygen_ph.run(reading, visit_with(reading, *others, observed_at=at, **about), LIMITS)


def percent(value, mark=None):
    return read("dissolved_oxygen_saturation", value, censored=mark)


@pytest.mark.parametrize(
    ("ph", "oxygen_percent", "clock", "flag"),
    [
        # K6, K7 and common practice: pH 9 and more with under 90 % between 11:00 and 18:00
        (9.5, 70.0, "14:00", 3),
        (9.0, 140.0, "15:00", 1),
        (9.0, 89.9, "14:00", 3),
        (9.0, 90.0, "14:00", 1),
        (8.9, 70.0, "14:00", 1),
        (9.5, 70.0, "10:59", 1),
        (9.5, 70.0, "11:00", 3),
        (9.5, 70.0, "18:00", 3),
        (9.5, 70.0, "18:01", 1),
        # pH 6 and less with over 150 %, at any hour
        (6.0, 150.1, "14:00", 3),
        (6.0, 150.0, "14:00", 1),
        (6.1, 180.0, "14:00", 1),
        (5.5, 180.0, "21:00", 3),
    ],
)
def test_ph_against_oxygen(ph, oxygen_percent, clock, flag):
    assert finding(ph, percent(oxygen_percent), clock=clock).flag == flag


@pytest.mark.parametrize(
    ("ph", "clock", "flag"),
    # common practice: over 9 before 08:00, when plants had little sunlight; needs no oxygen
    [(9.1, "07:59", 3), (9.0, "07:59", 1), (9.1, "08:00", 1), (9.1, "00:00", 3)],
)
def test_a_high_ph_early_in_the_morning(ph, clock, flag):
    assert finding(ph, clock=clock).flag == flag


@pytest.mark.parametrize(
    ("ph", "mark", "oxygen", "flag"),
    [
        (9.0, ">", percent(70.0), 3),
        (9.5, "<", percent(70.0), 1),
        (6.0, "<", percent(160.0), 3),
        (5.0, ">", percent(160.0), 1),
        (9.5, None, percent(80.0, ">"), 1),
        (9.5, None, percent(80.0, "<"), 3),
        (5.0, None, percent(160.0, ">"), 3),
    ],
)
def test_censored_values_count_with_what_is_certain(ph, mark, oxygen, flag):
    assert finding(ph, oxygen, mark=mark).flag == flag


def test_what_the_card_leaves_open_must_be_out_too():
    # on a card in half steps 9 leaves 8.75 open, 9.5 only 9.25 and more; 6 leaves 6.25 open, 5.5 not
    assert [finding(ph, percent(70.0), kit=PH_HALF).flag for ph in (9.0, 9.5)] == [1, 3]
    assert [finding(ph, percent(180.0), kit=PH_HALF).flag for ph in (6.0, 5.5)] == [1, 3]
    assert [finding(ph, clock="06:00", kit=PH_HALF).flag for ph in (9.0, 9.5)] == [1, 3]


def test_percent_is_worked_out_from_mg_per_l():
    # 7 mg/L of the 9.092 at 20 degC and 1 atm (Benson & Krause 1984) is 76.99 %
    water = read("water_temperature", 20.0)
    found = finding(9.5, read("dissolved_oxygen", 7.0), water)
    assert found.flag is Flag.SUSPECT
    assert found.evidence["percent"] == pytest.approx(76.99, abs=0.005)
    # 4 on the oxygen card is 2 to 6 mg/L, at most 66 %; 8 is 6 to 10, up to 110 %
    assert finding(9.5, read("dissolved_oxygen", 4.0, kit=OXYGEN_TABLETS), water).flag is Flag.SUSPECT
    assert finding(9.5, read("dissolved_oxygen", 8.0, kit=OXYGEN_TABLETS), water).flag is Flag.PASS


def test_all_readings_of_oxygen_must_say_the_same():
    assert finding(9.5, percent(70.0), percent(130.0)).flag is Flag.PASS
    assert finding(5.5, percent(160.0), percent(90.0)).flag is Flag.PASS


@pytest.mark.parametrize("others", [[], [read("dissolved_oxygen", 7.0)]])
@pytest.mark.parametrize(("ph", "flag"), [(9.5, 2), (5.5, 2), (7.5, 1)])
def test_only_a_ph_that_stands_out_needs_oxygen(ph, others, flag):
    found = finding(ph, *others)
    assert found.flag == flag
    assert found.advice == (oxygen_ph.ADVICE_OXYGEN if flag == Flag.NOT_EVALUATED else "")


def test_each_of_the_three_is_told_in_its_own_words():
    assert finding(9.5, percent(70.0)).message == (
        "pH 9.5 at 14:00 does not fit oxygen of 70 %: plants that lift pH to 9 by day also lift oxygen above "
        "90 %."
    )
    assert finding(5.5, percent(160.0)).message == (
        "pH 5.5 does not fit oxygen of 160 %: plants that lift oxygen above 150 % also lift pH above 6."
    )
    assert finding(9.5, clock="06:30").message == (
        "pH 9.5 at 06:30 is unusual: plants lift pH above 9 only in sunlight, and before 8:00 they had "
        "little of it."
    )


def test_what_was_assumed_is_said():
    water = read("water_temperature", 20.0)
    found = finding(9.5, read("dissolved_oxygen", 7.0), water, elevation_m=None)
    assert "(assumed: pressure of sea level" in found.message
