"""Which slip of the pen may have parted two places that should be one."""

from service.science.types import Place

NEAR_DEGREES = 0.03
DIGITS = (1, 2, 3)  # whole degrees by which a mistyped digit moves a place


def likely_slip(first: Place, second: Place) -> str:
    """Return in words how the two may have come apart; nothing where no slip is likely."""
    north, east = second.latitude - first.latitude, second.longitude - first.longitude
    for axis, along, across in (("latitude", north, east), ("longitude", east, north)):
        for digit in DIGITS:
            if _near(abs(along), digit) and _near(across, 0):
                degrees = "1 degree" if digit == 1 else f"{digit} degrees"
                return f"the {axis} differs by {degrees}, so look for a wrong digit"
    if _near(first.latitude, second.longitude) and _near(first.longitude, second.latitude):
        return "latitude and longitude seem to be swapped in one of them"
    for place in (first, second):
        if _near(abs(place.latitude), abs(place.longitude)):
            return "one of them has the same number for latitude and longitude"
    is_north = _near(first.latitude, -second.latitude) and not _near(north, 0)
    is_east = _near(first.longitude, -second.longitude) and not _near(east, 0)
    if (is_north and (is_east or _near(east, 0))) or (is_east and _near(north, 0)):
        return "a minus sign seems to be missing, or one too many"
    return ""


def _near(number: float, wanted: float) -> bool:
    return abs(number - wanted) <= NEAR_DEGREES
