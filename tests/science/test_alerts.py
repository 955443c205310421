from dataclasses import replace

import pytest

from service.science.alerts import CALL_FIRST, CLEAN_GEAR, FROM_THE_BANK, KEEP_AWAY, LEAVE_ALIVE, raise_alerts
from service.science.catch import Catch, CountScheme
from service.science.types import Kit
from tests.science.kits import OXYGEN_DROPS, OXYGEN_METER, OXYGEN_TABLETS, PH_HALF, PH_WHOLE, read
from tests.science.qa.catch_visits import line
from tests.science.qa.limits import CATALOGUE
from tests.science.qa.visits import visit_with

LIMITS = CATALOGUE.alert_limits
PH_METER = Kit("ph-meter", "pH meter", "meter", "ph", "std units", 0, 14, step=0.1, accuracy=0.2)
AWAY, ANIMAL = (KEEP_AWAY, CALL_FIRST), (LEAVE_ALIVE, CLEAN_GEAR)
FROM_BANK = (FROM_THE_BANK, CALL_FIRST)


def alerts(*readings, catch=(), **conditions):
    tallies = tuple(map(line, catch))
    visit = replace(visit_with(*readings, conditions=conditions), catch=Catch(CountScheme.COUNTS, tallies))
    return raise_alerts(visit, LIMITS)


def kinds(*readings, **about):
    return [alert.kind for alert in alerts(*readings, **about)]


@pytest.mark.parametrize(
    ("value", "kit", "censored", "is_alert"),
    [
        # 3 mg/L: US EPA 440/5-86-003 (1986), Table 1, 1-day minimum in warm water (from memory)
        (2.9, None, None, True),
        (3.0, None, None, False),
        # the drop that turned the colour is 0.5 mg/L, and half of it is open: common practice
        (2.5, OXYGEN_DROPS, None, True),  # up to 2.75
        (3.0, OXYGEN_DROPS, None, False),  # up to 3.25
        (0.5, OXYGEN_DROPS, "<", True),
        (2.6, OXYGEN_METER, None, True),  # up to 2.9
        (2.8, OXYGEN_METER, None, False),  # up to 3.1
        # tablets cannot tell 3 from 4 mg/L
        (0.0, OXYGEN_TABLETS, None, False),
        (4.0, OXYGEN_TABLETS, "<", False),
        (4.0, OXYGEN_TABLETS, None, False),
        (8.0, OXYGEN_TABLETS, ">", False),
    ],
)
def test_very_low_oxygen_by_all_that_the_kit_leaves_open(value, kit, censored, is_alert):
    found = kinds(read("dissolved_oxygen", value, kit=kit, censored=censored))
    assert found == (["very-low-oxygen"] if is_alert else [])


@pytest.mark.parametrize(
    ("value", "kit", "censored", "is_alert"),
    [
        # 4.5 and 10: common practice, below and above them most fish cannot live
        (4.4, None, None, True),
        (4.5, None, None, False),
        (10.0, None, None, False),
        (10.1, None, None, True),
        (7.0, None, None, False),
        (4.0, PH_HALF, None, True),  # 3.75 to 4.25
        (4.5, PH_HALF, None, False),  # 4.25 to 4.75
        (10.0, PH_HALF, None, False),  # 9.75 to 10.25
        (10.5, PH_HALF, ">", True),
        (10.1, PH_METER, None, False),  # from 9.9
        (10.3, PH_METER, None, True),  # from 10.1
        (4.4, PH_METER, None, False),  # up to 4.6
        (4.0, PH_WHOLE, None, False),  # up to 4.5
        (4.0, PH_WHOLE, "<", True),
        (10.0, PH_WHOLE, None, False),
    ],
)
def test_extreme_ph_on_both_sides(value, kit, censored, is_alert):
    assert kinds(read("ph", value, kit=kit, censored=censored)) == (["extreme-ph"] if is_alert else [])


@pytest.mark.parametrize("told", [True, False, None])
def test_dead_fish(told):
    assert kinds(dead_fish=told) == (["fish-kill"] if told else [])


@pytest.mark.parametrize(
    ("name", "is_alert"),
    [
        # invaders of North American streams: common practice
        ("zebra mussel 1", True),
        ("New Zealand mudsnail 40", True),
        ("zebra mussel R", True),
        ("zebra mussel 0", False),  # looked for and not found
        ("Asian clam 9", False),  # widespread: told by region, not as an alarm
        ("gilled snail 90", False),
        ("wriggly thing 9", False),
    ],
)
def test_invasive_animals(name, is_alert):
    assert kinds(catch=(name,)) == (["invasive-animal"] if is_alert else [])


def test_another_parameter_raises_nothing():
    assert kinds(read("water_temperature", 1.0), read("alkalinity", 2.0), read("nitrate", 0.0)) == []


def test_a_visit_without_a_catch():
    assert raise_alerts(visit_with(), LIMITS) == ()


@pytest.mark.parametrize(
    ("alert", "message", "cautions"),
    [
        (
            alerts(read("dissolved_oxygen", 1.0, kit=OXYGEN_DROPS)),
            "Dissolved oxygen 1 mg/L is below 3 mg/L: fish may be dying.",
            FROM_BANK,
        ),
        (alerts(read("ph", 3.0)), "pH 3 is below 4.5: acid may have got in.", FROM_BANK),
        (alerts(read("ph", 11.5)), "pH 11.5 is above 10: lye, lime or cement may have got in.", FROM_BANK),
        (
            alerts(read("ph", 4.0, kit=PH_WHOLE, censored="<")),
            "pH < 4 is below 4.5: acid may have got in.",
            FROM_BANK,
        ),
        (alerts(dead_fish=True), "Dead or gasping fish were seen.", AWAY),
        (
            alerts(catch=("zebra mussel 3",)),
            "Zebra mussel (Dreissena polymorpha) was reported: please confirm it.",
            ANIMAL,
        ),
    ],
)
def test_messages_and_cautions(alert, message, cautions):
    assert [(one.message, one.cautions) for one in alert] == [(message, cautions)]


def test_one_alert_of_each_kind_tells_everything():
    found = alerts(
        read("ph", 3.0),
        read("ph", 3.0, position=1),
        read("ph", 2.5, position=2),
        read("dissolved_oxygen", 1.0),
        catch=("zebra mussel 3", "zebra mussel/adult 2", "mudsnail 1", "New Zealand mudsnail 40"),
        dead_fish=True,
    )
    assert [alert.kind for alert in found] == [
        "fish-kill",
        "extreme-ph",
        "very-low-oxygen",
        "invasive-animal",
    ]
    assert found[1].message == (
        "pH 3 is below 4.5: acid may have got in. pH 2.5 is below 4.5: acid may have got in."
    )
    assert found[3].message.count("reported") == 2
    assert "Dreissena polymorpha" in found[3].message
    assert "Potamopyrgus antipodarum" in found[3].message


def test_every_alert_says_what_to_keep_away_from_or_to_leave_alone():
    assert "Stay out of the water" in KEEP_AWAY
    assert "local authority" in CALL_FIRST
    assert "leave the animal where it is" in LEAVE_ALIVE
    assert "clean and dry" in CLEAN_GEAR
