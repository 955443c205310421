from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from service.science.flags import Flag
from service.science.qa.checks import visit_clock
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import ZONE, visit_with

LIMITS = limits_for("visit-clock")
NOON = datetime(2026, 5, 14, 12, 0, tzinfo=ZONE)


def finding(**about):
    return visit_clock.run(visit_with(**about), LIMITS)


@pytest.mark.parametrize(
    ("minutes_ahead", "flag"), [(-60, 1), (0, 1), (9, 1), (10, 1), (11, 4), (60 * 24 * 30, 4)]
)
def test_the_future(minutes_ahead, flag):
    # a tolerance of 10 minutes for the clock of the device
    found = finding(observed_at=NOON + timedelta(minutes=minutes_ahead), received_at=NOON)
    assert (found.flag, found.evidence["minutes_ahead"]) == (flag, minutes_ahead)


@pytest.mark.parametrize(
    ("ahead", "words"),
    [
        (timedelta(minutes=25), "25 minutes"),
        (timedelta(hours=5), "5 hours"),
        (timedelta(days=31), "31 days"),
    ],
)
def test_the_message_says_how_far_ahead(ahead, words):
    found = finding(observed_at=NOON + ahead, received_at=NOON)
    assert found.message.startswith("The visit is dated 2026-0")
    assert f"which is {words} in the future" in found.message
    assert "clock of the device" in found.advice


def test_instants_are_compared_not_wall_clocks():
    # the same instant written in two zones
    received = NOON.astimezone(timezone(timedelta(hours=-9)))
    assert finding(observed_at=NOON, received_at=received).flag is Flag.PASS


@pytest.mark.parametrize(
    ("observed_fold", "received_fold", "flag"),
    [
        # clocks went back on 1 November 2026: 01:50 summer time comes 20 minutes before 01:10 winter time
        (0, 1, 3),  # not in the future; only asked about, as every hour of the night
        # 01:50 winter time comes 100 minutes after 01:10 summer time
        (1, 0, 4),
    ],
)
def test_the_hour_that_comes_twice_in_autumn(observed_fold, received_fold, flag):
    observed = datetime(2026, 11, 1, 1, 50, tzinfo=ZONE, fold=observed_fold)
    received = datetime(2026, 11, 1, 1, 10, tzinfo=ZONE, fold=received_fold)
    assert finding(observed_at=observed, received_at=received).flag == flag


@pytest.mark.parametrize(("hour", "minute", "flag"), [(0, 0, 3), (4, 59, 3), (5, 0, 1), (23, 59, 1)])
def test_the_middle_of_the_night_is_asked_about(hour, minute, flag):
    # no class is at a stream before five (common practice): a twelve-hour clock left out its "pm"
    found = finding(observed_at=NOON.replace(hour=hour, minute=minute))
    assert found.flag == flag


def test_the_night_visit_is_asked_for_its_afternoon():
    found = finding(observed_at=NOON.replace(hour=1, minute=30))
    assert "timed 01:30, in the middle of the night. Was it 13:30?" in found.message
    assert "clock of the device" in found.advice


@pytest.mark.parametrize(
    ("established_on", "flag"),
    [(date(2026, 5, 15), 4), (date(2026, 5, 14), 1), (date(2020, 1, 1), 1), (None, 1)],
)
def test_before_the_site_existed(established_on, flag):
    assert finding(observed_at=NOON, established_on=established_on).flag == flag


def test_the_local_day_counts_for_the_first_day_of_a_site():
    # 23:30 on 14 May at the site is already 15 May in UTC
    late = datetime(2026, 5, 14, 23, 30, tzinfo=ZONE)
    assert late.astimezone(UTC).date() == date(2026, 5, 15)
    found = finding(observed_at=late, established_on=date(2026, 5, 15))
    assert found.flag is Flag.FAIL
    assert "dated 2026-05-14, but the site only exists since 2026-05-15" in found.message


def test_a_twin_fails_and_is_named():
    found = finding(twins=("019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11",))
    assert found.flag is Flag.FAIL
    assert found.evidence["twins"] == "019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11"
    assert "own team code" in found.advice


def test_everything_wrong_is_told_at_once():
    found = finding(
        observed_at=NOON + timedelta(hours=3),
        received_at=NOON,
        established_on=date(2026, 6, 1),
        twins=("a",),
    )
    assert found.message.count(".") == 3
    assert "future" in found.message
    assert "site only exists" in found.message
    assert "already stored" in found.message


def test_an_old_notebook_may_be_typed_in_today():
    found = finding(observed_at=NOON - timedelta(days=365 * 12), received_at=NOON)
    assert (found.flag, found.message, found.advice) == (Flag.PASS, "", "")
