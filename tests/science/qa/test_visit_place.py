from dataclasses import replace

import pytest

from service.science.flags import Flag
from service.science.qa.check import Stage
from service.science.qa.checks import visit_place
from service.science.types import Place
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("visit-place")
AT_SITE = (41.5, -91.25)


def finding(place, site=AT_SITE):
    visit = visit_with()
    at_site = replace(visit.site, latitude=site[0], longitude=site[1])
    return visit_place.run(replace(visit, site=at_site, place=place and Place(*place)), LIMITS)


@pytest.mark.parametrize(
    ("place", "flag", "distance_m"),
    [
        # a degree of latitude is 111.195 km on a ball of 6371 km radius; a degree of longitude there times
        # the cosine of 41.5 degrees, 0.74896 (worked by hand)
        (AT_SITE, 1, 0),
        ((41.5044, -91.25), 1, 489),
        ((41.5046, -91.25), 3, 511),
        ((41.5, -91.256), 1, 500),
        ((41.5, -91.2565), 3, 541),
        ((41.95, -91.25), 3, 50038),
        ((-41.5, 88.75), 3, 20015115),
    ],
)
def test_how_far_is_too_far(place, flag, distance_m):
    found = finding(place)
    assert found.flag == flag
    assert found.evidence["distance_m"] == pytest.approx(distance_m, rel=2e-4, abs=1)


@pytest.mark.parametrize(
    ("place", "message"),
    [
        (
            (41.5074, -91.25),
            "The device was 823 m (0.82 km) away from site creek-1; up to 500 m (0.5 km) is usual.",
        ),
        ((41.53, -91.25), "The device was 3.3 km away from site creek-1; up to 500 m (0.5 km) is usual."),
        ((41.94, -91.25), "The device was 49 km away from site creek-1; up to 500 m (0.5 km) is usual."),
        ((42.5, -91.25), "The device was 111 km away from site creek-1. Was the wrong site chosen?"),
    ],
)
def test_the_message_tells_the_distance(place, message):
    assert finding(place).message == message


def test_near_and_far_get_different_advice():
    near, far = finding((41.51, -91.25)).advice, finding((44.5, -91.25)).advice
    assert "its place on the map may be wrong" in near
    assert "Choose the site of this visit again" in far


def test_no_coordinate_is_ever_told():
    place = (41.612345, -91.398765)
    told = repr(finding(place))
    for number in (*place, *AT_SITE):
        assert str(abs(number)) not in told
        assert f"{abs(number):.1f}" not in told


@pytest.mark.parametrize("site", [(None, None), (41.5, None), (None, -91.25)])
def test_without_coordinates_of_the_site_it_is_not_evaluated(site):
    found = finding(AT_SITE, site)
    assert found.flag is Flag.NOT_EVALUATED
    assert "no coordinates yet" in found.message


def test_without_a_place_it_says_nothing():
    assert finding(None) is None


def test_it_runs_with_the_contradictions_but_never_fails_a_visit():
    assert visit_place.CHECK.stage is Stage.CONTRADICTION
    assert finding((-41.5, 91.25)).flag is Flag.SUSPECT
