import math

import pytest

from service.science.distance import distance_km
from service.science.types import Place


@pytest.mark.parametrize(
    ("first", "second", "expected_km", "tolerance_km"),
    [
        # worked by hand from the radius of 6371.0088 km
        ((10.0, 20.0), (10.0, 20.0), 0.0, 0.0),
        ((0.0, 0.0), (1.0, 0.0), 111.195, 0.001),
        ((0.0, 179.5), (0.0, -179.5), 111.195, 0.001),
        ((45.0, 30.0), (45.001, 30.0), 0.111195, 0.000001),
        ((0.0, 0.0), (0.0, 180.0), 20015.11, 0.01),
        ((90.0, 0.0), (-90.0, 77.0), 20015.11, 0.01),
        ((15.17, -17.0), (-15.17, 163.0), 20015.11, 0.01),  # antipodes whose sines add up to more than 1
        ((0.0, 0.0), (90.0, 0.0), 10007.56, 0.01),
        # lengths of a degree on the WGS 84 ellipsoid, from memory; the ball is off by up to 0.6 %
        ((-0.5, 0.0), (0.5, 0.0), 110.574, 0.66),
        ((44.5, 0.0), (45.5, 0.0), 111.132, 0.66),
        ((45.0, 0.0), (45.0, 1.0), 78.847, 0.47),
        ((60.0, 0.0), (60.0, 1.0), 55.800, 0.33),
    ],
)
def test_distances(first, second, expected_km, tolerance_km):
    there, back = distance_km(Place(*first), Place(*second)), distance_km(Place(*second), Place(*first))
    assert there == pytest.approx(expected_km, abs=tolerance_km)
    assert there == back


@pytest.mark.parametrize(
    "place", [(90.1, 0.0), (-90.1, 0.0), (0.0, 180.1), (0.0, -180.1), (math.nan, 0.0), (0.0, math.inf)]
)
def test_no_place_on_the_ground_is_refused(place):
    for pair in ((Place(*place), Place(0.0, 0.0)), (Place(0.0, 0.0), Place(*place))):
        with pytest.raises(ValueError, match="itude"):
            distance_km(*pair)
