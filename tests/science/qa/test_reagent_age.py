from dataclasses import replace
from datetime import date, datetime

import pytest

from service.science.flags import Flag
from service.science.qa.checks import reagent_age
from service.science.types import KitLot
from tests.science.kits import NITRATE_CARD, OXYGEN_METER, PH_WHOLE, read
from tests.science.qa.visits import ZONE, visit_with

ON = date(2026, 5, 14)


def finding(lot, kit=PH_WHOLE, observed_at=datetime(2026, 5, 14, 14, tzinfo=ZONE)):
    reading = replace(read(kit.parameter, 7, kit=kit, unit=kit.unit), lot=lot)
    return reagent_age.run(reading, visit_with(reading, observed_at=observed_at), {})


@pytest.mark.parametrize(
    ("expires_on", "blank_failed_on", "flag"),
    [
        # a visit after the expiry date is flagged; a failed blank turns what follows: common practice
        (None, None, 1),
        (date(2026, 5, 15), None, 1),
        (date(2026, 5, 14), None, 1),
        (date(2026, 5, 13), None, 3),
        (None, date(2026, 5, 13), 3),
        (None, date(2026, 5, 14), 3),
        (None, date(2026, 5, 15), 1),
        (date(2027, 1, 1), date(2026, 3, 1), 3),
    ],
)
def test_expiry_and_blank(expires_on, blank_failed_on, flag):
    assert finding(KitLot("box-3", expires_on, blank_failed_on)).flag == flag


def test_both_faults_are_told_at_once():
    found = finding(KitLot("box-3", date(2026, 4, 30), date(2026, 5, 2)))
    assert found.message == (
        "The last good day of box box-3 was 2026-04-30, before this visit of 2026-05-14. "
        "The blank of box box-3 showed colour on 2026-05-02."
    )
    assert "still good" in found.advice


def test_a_failed_blank_asks_for_a_new_blank():
    assert "run a new blank" in finding(KitLot("box-3", None, date(2026, 5, 2))).advice


def test_the_local_day_counts():
    # 23:30 on 14 May at the site is already 15 May in UTC
    late = datetime(2026, 5, 14, 23, 30, tzinfo=ZONE)
    assert finding(KitLot("box-3", ON), observed_at=late).flag is Flag.PASS


def test_no_box_stays_quiet():
    found = finding(None, NITRATE_CARD)
    assert (found.flag, found.advice) == (Flag.NOT_EVALUATED, "")
    assert "from which box the reagents came" in found.message


def test_a_meter_has_no_reagents():
    assert finding(None, OXYGEN_METER) is None


def test_a_box_of_a_meter_expires_too():
    assert finding(KitLot("standard-1", date(2026, 1, 1)), OXYGEN_METER).flag is Flag.SUSPECT


def test_a_blank_is_not_judged_by_the_last_blank():
    assert not reagent_age.CHECK.for_blanks
