"""How far two places on the ground are apart."""

import math

from service.science.types import Place
from service.science.valid_range import require_within

EARTH_RADIUS_KM = 6371.0088


def distance_km(first: Place, second: Place) -> float:
    """Return the distance between two places along the ground, by the haversine formula.

    Parameters
    ----------
    first, second : Place
        Latitude [degrees, -90 to 90] and longitude [degrees, -180 to 180].

    Returns
    -------
    float
        Distance [km]. The earth is taken as a ball, which is wrong by up to 0.6 % (common practice).

    Reference
    ---------
    Sinnott, R.W. 1984. Virtues of the Haversine. Sky and Telescope 68(2):159 (from memory). Radius: mean
    radius (2a + b) / 3 of the GRS 80 ellipsoid, as adopted by the IUGG (from memory).
    """
    for place in (first, second):
        require_within("latitude", place.latitude, -90.0, 90.0, "degrees")
        require_within("longitude", place.longitude, -180.0, 180.0, "degrees")
    latitude_1, latitude_2 = math.radians(first.latitude), math.radians(second.latitude)
    half_north = (latitude_2 - latitude_1) / 2
    half_east = math.radians(second.longitude - first.longitude) / 2
    share = math.sin(half_north) ** 2
    share += math.cos(latitude_1) * math.cos(latitude_2) * math.sin(half_east) ** 2
    return 2 * EARTH_RADIUS_KM * math.asin(math.sqrt(share))
