"""The `bbox` filter: a box on the map, and which stored places are shown inside it.

Whoever sees a place only rounded must not find out by small boxes where it really lies. So a box is compared
with what is shown. Rounding never puts one number before another that is greater, so the stored numbers that
are shown inside a box are those between two ends, and these are what the database is asked for.

Reference
---------
Order of the numbers: RFC 7946, section 5, and OGC 17-069r4, OGC API - Features Part 1: Core 1.0.1, section
7.15.3; boxes across the antimeridian: RFC 7946, section 5.2.
"""

import math
from dataclasses import dataclass
from typing import Annotated

from pydantic import Field

from service.core.errors import BadQuery

FINEST_DECIMALS = 6
HALF_TURN, WHOLE_TURN = 180.0, 360.0
POLE = 90.0
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
    """Return the box that a filter names, in four numbers, or six with heights, which no place here has.

    A map that is dragged round the world counts its degrees on; here they come back onto the globe.

    Raises
    ------
    BadQuery
        It is not four or six numbers, or an edge lies on the wrong side of the other.
    """
    try:
        numbers = [float(part) for part in text.split(",")]
    except ValueError:
        numbers = []
    if len(numbers) not in (4, 6) or not all(map(math.isfinite, numbers)):
        raise BadQuery("bbox: write west,south,east,north in degrees, such as -76,40,-75,41")
    west, south, *_ = numbers
    east, north = numbers[len(numbers) // 2 :][:2]
    if south > north or (len(numbers) == 6 and numbers[2] > numbers[5]):
        raise BadQuery("bbox: its southern (or lower) edge must not lie above the northern (or upper) one")
    if east - west >= WHOLE_TURN:
        west, east = -HALF_TURN, HALF_TURN
    return Box(_on_the_globe(west), max(south, -POLE), _on_the_globe(east), min(north, POLE))


def _on_the_globe(longitude: float) -> float:
    """Return degrees east between -180 and 180."""
    if -HALF_TURN <= longitude <= HALF_TURN:
        return longitude
    return (longitude + HALF_TURN) % WHOLE_TURN - HALF_TURN


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
