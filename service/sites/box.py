"""The `bbox` filter: a box on the map, and which stored places are shown inside it.

Whoever sees a place only rounded must not find out by small boxes where it really lies. So a box is compared
with what is shown. Rounding never puts one number before another that is greater, so the stored numbers that
are shown inside a box are those between two ends, and these are what the database is asked for.

Reference
---------
Order of the four numbers: RFC 7946, section 5; boxes across the antimeridian: section 5.2.
"""

import math
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from service.core.errors import BadQuery

FINEST_DECIMALS = 6
DESCRIPTION = (
    "Box that holds the site: west,south,east,north in degrees, such as -76,40,-75,41. West greater than "
    "east: across the 180th meridian. Sites without a place lie in no box."
)


BoxFilter = Annotated[str | None, Field(max_length=120, description=DESCRIPTION)]


@dataclass(frozen=True, slots=True)
class Box:
    """A box on the map [degrees], its edges included."""

    west: float
    south: float
    east: float
    north: float

    @property
    def longitudes(self) -> tuple[tuple[float, float], ...]:
        """The one stretch between west and east, or the two on both sides of the antimeridian."""
        if self.west <= self.east:
            return ((self.west, self.east),)
        return ((self.west, 180.0), (-180.0, self.east))


def read_box(text: str) -> Box:
    """Return the box that a filter names.

    Raises
    ------
    BadQuery
        It is not four numbers of degrees in their order.
    """
    try:
        west, south, east, north = (float(part) for part in text.split(","))
    except ValueError:
        raise BadQuery("bbox: write west,south,east,north in degrees, such as -76,40,-75,41") from None
    if not all(-180 <= degrees <= 180 for degrees in (west, east)):
        raise BadQuery("bbox: west and east lie between -180 and 180 degrees")
    if not -90 <= south <= north <= 90:
        raise BadQuery("bbox: south and north lie between -90 and 90 degrees, south not above north")
    return Box(west, south, east, north)


def first_shown_from(degrees: float, decimals: int) -> float:
    """Return the smallest number that is at least ``degrees`` once it is rounded to some decimals."""
    below, from_ = degrees - 10.0**-decimals, degrees + 10.0**-decimals
    while below < (middle := (below + from_) / 2) < from_:
        if round(middle, decimals) >= degrees:
            from_ = middle
        else:
            below = middle
    return from_


def stored_between(low: float, high: float, decimals: int) -> tuple[float, float]:
    """Return the ends (the first inside, the second outside) of what is shown from ``low`` to ``high``."""
    return first_shown_from(low, decimals), first_shown_from(math.nextafter(high, math.inf), decimals)
