"""What a derived value is, and which side a value lies on when readings behind it are censored."""

from collections.abc import Iterable
from dataclasses import dataclass

from service.science.types import Censoring

FRESH_WATER = "fresh water"


@dataclass(frozen=True, slots=True)
class Derived:
    """One derived value. ``low`` and ``high`` carry the doubt of the readings behind it (infinite: open)."""

    parameter: str
    value: float
    unit: str
    low: float
    high: float
    censored: Censoring | None
    method: str
    assumed: tuple[str, ...] = ()


def side(rising: Iterable[Censoring | None], falling: Iterable[Censoring | None] = ()) -> Censoring | None:
    """Return on which side of the value the truth lies.

    Parameters
    ----------
    rising : marks of the readings that the value rises with
    falling : marks of the readings that the value falls with

    Returns
    -------
    Censoring or None
        ``None`` where nothing is censored.

    Raises
    ------
    ValueError
        One reading pulls up and another one down: nothing is known then.
    """
    sides = {mark for mark in rising if mark} | {mark.opposite for mark in falling if mark}
    if len(sides) > 1:
        raise ValueError("one reading is a lower and another one an upper limit: no value is given there")
    return next(iter(sides), None)
