"""The share of readings that meet a criterion, honest about those only known to lie beyond a limit."""

from collections.abc import Iterable
from dataclasses import dataclass

from service.science.types import Censoring

Written = tuple[float, Censoring | None]


@dataclass(frozen=True, slots=True)
class MeetingShare:
    """How many readings surely meet a criterion, surely do not, and cannot be told."""

    meeting: int
    missing: int
    undecided: int

    @property
    def readings(self) -> int:
        """All readings that were compared."""
        return self.meeting + self.missing + self.undecided

    @property
    def at_least_percent(self) -> float:
        """The least share that may meet it [%]: none of the undecided ones does."""
        return 100.0 * self.meeting / self.readings

    @property
    def at_most_percent(self) -> float:
        """The largest share that may meet it [%]: all of the undecided ones do."""
        return 100.0 * (self.meeting + self.undecided) / self.readings


def share_meeting(readings: Iterable[Written], at_least: float | None, at_most: float | None) -> MeetingShare:
    """Return how many readings meet a criterion; equal to the limit meets it.

    Parameters
    ----------
    readings : iterable of (value, censoring)
        Values [the unit of the limits]; "<" and ">" say that the true value lies strictly beyond the value.
    at_least, at_most : float or None
        The limits [the same unit]; one of them may be open.

    Returns
    -------
    MeetingShare

    Reference
    ---------
    A share below a limit is exact only where no censored reading straddles it; else it is reported as at
    least and at most: Helsel 2012, Statistics for Censored Environmental Data, 2nd ed. (from memory).
    """
    said = [_meets(value, censored, at_least, at_most) for value, censored in readings]
    return MeetingShare(said.count(True), said.count(False), said.count(None))


def _meets(
    value: float, censored: Censoring | None, at_least: float | None, at_most: float | None
) -> bool | None:
    below = censored is Censoring.BELOW
    above = censored is Censoring.ABOVE
    too_low = at_least is not None and (value <= at_least if below else not above and value < at_least)
    too_high = at_most is not None and (value >= at_most if above else not below and value > at_most)
    if too_low or too_high:
        return False
    low_enough = at_most is None or (not above and value <= at_most)
    high_enough = at_least is None or (not below and value >= at_least)
    return True if low_enough and high_enough else None
