"""Day and month exchanged: only where the date given cannot be right and the other one can."""

from datetime import date, datetime

import pytest

from service.science.flags import Flag
from tests.science.qa.slips.planted import checked, named, row, visit_of
from tests.science.qa.visits import ZONE, weekly

WATER_12 = row("water_temperature", 12.0, "thermometer-alcohol")
RECEIVED_AT = datetime(2026, 5, 14, 12, tzinfo=ZONE)


def dated(year, month, day, *readings, **around):
    observed_at = datetime(year, month, day, 10, tzinfo=ZONE)
    return visit_of(*(readings or [WATER_12]), observed_at=observed_at, received_at=RECEIVED_AT, **around)


@pytest.mark.parametrize(("month", "day", "meant"), [(12, 5, "2026-05-12"), (11, 3, "2026-03-11")])
def test_a_date_in_the_future_that_was_a_school_day_the_other_way_round(month, day, meant):
    slip, finding = named(checked(dated(2026, month, day)))["visit"]
    assert (slip.kind, slip.would_be) == ("day-and-month-exchanged", None)
    assert finding.advice.startswith(
        f"Did day and month change places? Then the visit was on {meant}. Look at"
    )
    assert finding.flag is Flag.FAIL


@pytest.mark.parametrize(
    ("month", "day"),
    [
        pytest.param(12, 20, id="there is no month 20"),
        pytest.param(8, 9, id="8 September is in the future as well"),
        pytest.param(9, 5, id="9 May was a Saturday"),
        pytest.param(10, 5, id="10 May was a Sunday"),
        pytest.param(6, 6, id="6 June is 6 June"),
    ],
)
def test_a_future_date_that_the_exchange_does_not_explain(month, day):
    found = checked(dated(2026, month, day))
    assert (found.flag, named(found)) == (Flag.FAIL, {})


def test_readings_that_would_not_fit_the_other_date_speak_against_it():
    warm = row("water_temperature", 20.0, "thermometer-alcohol")
    cold_march = {
        "water_temperature": weekly(
            [1.0, 2.0, 1.5, 1.0] * 3, date(2026, 3, 11), kit="thermometer-alcohol", kind="thermometer"
        )
    }
    found = checked(dated(2026, 11, 3, warm, past=cold_march))
    assert (found.flag, named(found)) == (Flag.FAIL, {})


def test_a_date_that_can_be_right_is_not_asked_about():
    held_for_its_water = dated(2026, 3, 4, row("water_temperature", 64.0, "thermometer-alcohol"))
    assert set(named(checked(held_for_its_water))) == {0}
