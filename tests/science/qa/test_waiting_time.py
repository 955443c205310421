from dataclasses import replace

import pytest

from service.science.flags import Flag
from service.science.qa.checks import waiting_time
from tests.science.kits import NITRATE_CARD, OXYGEN_TABLETS, read
from tests.science.qa.limits import CATALOGUE, limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("waiting-time", "dissolved_oxygen")
FROM_5 = replace(OXYGEN_TABLETS, wait_minutes_min=5.0)
FROM_10_TO_15 = replace(OXYGEN_TABLETS, wait_minutes_min=10.0, wait_minutes_max=15.0)
AT_1 = replace(OXYGEN_TABLETS, wait_minutes_min=1.0, wait_minutes_max=1.0)
UP_TO_3 = replace(OXYGEN_TABLETS, wait_minutes_max=3.0)


def finding(kit, **procedure):
    reading = read("dissolved_oxygen", 8, kit=kit, procedure=procedure)
    return waiting_time.run(reading, visit_with(reading), LIMITS)


@pytest.mark.parametrize(
    ("kit", "minutes", "flag"),
    [
        # by hand from the window, both ends inclusive
        (FROM_5, 4.9, 3),
        (FROM_5, 5.0, 1),
        (FROM_5, 40, 1),
        (FROM_10_TO_15, 9, 3),
        (FROM_10_TO_15, 10, 1),
        (FROM_10_TO_15, 15, 1),
        (FROM_10_TO_15, 16, 3),
        (AT_1, 0, 3),
        (AT_1, 1, 1),
        (AT_1, 2, 3),
        (UP_TO_3, 0, 1),
        (UP_TO_3, 3, 1),
        (UP_TO_3, 4, 3),
    ],
)
def test_window(kit, minutes, flag):
    found = finding(kit, minutes_waited=minutes)
    assert (found.flag, found.evidence["minutes_waited"]) == (flag, minutes)


@pytest.mark.parametrize(
    ("kit", "minutes", "message"),
    [
        (FROM_5, 3, "Too early. You read it after 3 minutes; this kit is read after at least 5 minutes."),
        (
            FROM_10_TO_15,
            20,
            "Too late. You read it after 20 minutes; this kit is read after at least 10 minutes and at most "
            "15 minutes.",
        ),
        (AT_1, 2, "Too late. You read it after 2 minutes; this kit is read after exactly 1 minute."),
        (UP_TO_3, 4, "Too late. You read it after 4 minutes; this kit is read after at most 3 minutes."),
    ],
)
def test_the_message_tells_the_window(kit, minutes, message):
    assert finding(kit, minutes_waited=minutes).message == message


def test_early_and_late_get_different_advice():
    assert "If the tube still stands" in finding(FROM_5, minutes_waited=1).advice
    assert "in time" in finding(UP_TO_3, minutes_waited=9).advice


def test_not_noted_asks_for_the_time():
    found = finding(FROM_5)
    assert found.flag is Flag.NOT_EVALUATED
    assert "write down how many minutes you waited" in found.advice


@pytest.mark.parametrize("kit", [None, OXYGEN_TABLETS])
def test_without_a_window_nothing_is_asked(kit):
    assert finding(kit, minutes_waited=0) is None


@pytest.mark.parametrize(
    ("code", "shortest", "longest"),
    [
        # procedure pages of schools and universities, as printed in the reference: tablets wait 5 minutes,
        # ampoules are read at 2; cadmium 10 to 20 or 5 to 15, of which 10 to 15 suits both
        ("oxygen-tablet-comparator", 5, None),
        ("oxygen-ampoule-comparator", 2, None),
        ("nitrate-cadmium-low", 10, 15),
    ],
)
def test_windows_of_the_real_kits(code, shortest, longest):
    kit = CATALOGUE.kits[code]
    assert (kit.wait_minutes_min, kit.wait_minutes_max) == (shortest, longest)


def test_thermometers_are_left_to_their_own_check():
    assert "water_temperature" not in waiting_time.CHECK.parameters
    assert NITRATE_CARD.parameter in waiting_time.CHECK.parameters
