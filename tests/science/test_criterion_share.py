"""The share of readings that meet a criterion, with readings beyond a limit on either side."""

import pytest

from service.science.criterion_share import share_meeting
from service.science.types import Censoring

BELOW, ABOVE = Censoring.BELOW, Censoring.ABOVE


@pytest.mark.parametrize(
    ("value", "censored", "at_least", "at_most", "counts"),
    [
        # Equal passes; rules of a tube against "at least 30 cm" and "at least 90 cm": common practice.
        (30.0, None, 30.0, None, (1, 0, 0)),
        (29.9, None, 30.0, None, (0, 1, 0)),
        (60.0, ABOVE, 30.0, None, (1, 0, 0)),
        (60.0, ABOVE, 60.0, None, (1, 0, 0)),
        (60.0, ABOVE, 90.0, None, (0, 0, 1)),
        (10.0, BELOW, 10.0, None, (0, 1, 0)),
        (10.0, BELOW, 5.0, None, (0, 0, 1)),
        (10.0, None, None, 10.0, (1, 0, 0)),
        (10.1, None, None, 10.0, (0, 1, 0)),
        (10.0, BELOW, None, 10.0, (1, 0, 0)),
        (500.0, BELOW, None, 410.0, (0, 0, 1)),  # "<500" against 410 is undecided
        (2419.6, ABOVE, None, 410.0, (0, 1, 0)),  # ">2419.6" counts as above 410
        (410.0, ABOVE, None, 410.0, (0, 1, 0)),
        (7.0, None, 6.5, 9.0, (1, 0, 0)),
        (6.4, None, 6.5, 9.0, (0, 1, 0)),
        (9.1, None, 6.5, 9.0, (0, 1, 0)),
        (7.0, ABOVE, 6.5, 9.0, (0, 0, 1)),
        (7.0, BELOW, 6.5, 9.0, (0, 0, 1)),
        (4.0, BELOW, 6.5, 9.0, (0, 1, 0)),
    ],
)
def test_one_reading(
    value: float, censored: Censoring | None, at_least: float, at_most: float, counts: tuple[int, int, int]
) -> None:
    share = share_meeting([(value, censored)], at_least, at_most)
    assert (share.meeting, share.missing, share.undecided) == counts


def test_a_share_is_bounded_by_what_cannot_be_told() -> None:
    share = share_meeting([(100.0, None), (500.0, BELOW), (2419.6, ABOVE), (50.0, None)], None, 410.0)
    assert (share.readings, share.at_least_percent, share.at_most_percent) == (4, 50.0, 75.0)
