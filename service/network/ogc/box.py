"""The `bbox` parameter as maps send it: four numbers, or six with heights, and degrees counted on.

Reference
---------
OGC 17-069r4, OGC API - Features Part 1: Core 1.0.1, section 7.15.3 (parameter bbox).
"""

import math

from service.core.errors import BadQuery
from service.sites.box import Box

HALF_TURN, WHOLE_TURN = 180.0, 360.0
POLE = 90.0


def read_map_box(text: str) -> Box:
    """Return the box of a `bbox` parameter; the heights of six numbers have no say, as no place has one.

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
        raise BadQuery("bbox: write west,south,east,north in degrees, such as -87.5,43.1,-87.2,43.6")
    west, south, *_ = numbers
    east, north = numbers[len(numbers) // 2 :][:2]
    if south > north or (len(numbers) == 6 and numbers[2] > numbers[5]):
        raise BadQuery("bbox: its southern (or lower) edge must not lie above the northern (or upper) one")
    if east - west >= WHOLE_TURN:
        west, east = -HALF_TURN, HALF_TURN
    return Box(_on_the_globe(west), max(south, -POLE), _on_the_globe(east), min(north, POLE))


def _on_the_globe(longitude: float) -> float:
    """Return degrees east between -180 and 180; a map that is dragged round the world counts them on."""
    if -HALF_TURN <= longitude <= HALF_TURN:
        return longitude
    return (longitude + HALF_TURN) % WHOLE_TURN - HALF_TURN
