"""The box on the map: it holds what is shown inside it, and tells nobody where a place lies more exactly."""

import math
import random

import pytest

from service.sites.box import first_shown_from, stored_between
from tests.api import Api, catch, visit

LISTS = ("/v1/sites", "/v1/sites/latest", "/v1/coverage", "/v1/visits", "/v1/readings", "/v1/scores")


@pytest.mark.parametrize("decimals", range(7))
def test_the_ends_part_what_is_shown_inside_from_the_rest(decimals: int) -> None:
    # Against Python's own rounding, by which places are shown.
    draws = random.Random(decimals)
    for _ in range(300):
        low, high = sorted(round(draws.uniform(-180, 180), draws.randint(0, 7)) for _ in range(2))
        first, beyond = stored_between(low, high, decimals)
        for end in (first, beyond):
            stored = [end, math.nextafter(end, -math.inf), math.nextafter(end, math.inf)]
            for one in (*stored, draws.uniform(low - 1, high + 1)):
                assert (first <= one < beyond) == (low <= round(one, decimals) <= high), (low, high, one)


@pytest.mark.parametrize(("degrees", "decimals", "first"), [(2, 0, 1.5), (3, 0, math.nextafter(2.5, 3))])
def test_a_tie_goes_where_it_is_shown(degrees: float, decimals: int, first: float) -> None:
    assert first_shown_from(degrees, decimals) == first  # round half to even: 1.5 and 2.5 are shown as 2


def place(api: Api, code: str, latitude: float | None, longitude: float | None, decimals: int) -> None:
    site = {
        "code": code, "name": code, "school": "otter", "latitude": latitude, "longitude": longitude,
        "public_decimals": decimals,
    }  # fmt: skip
    assert api.post("/v1/sites", site).status_code == 201


@pytest.fixture
def placed(empty_api: Api) -> Api:
    """Sites of otter whose places are shown coarsely, one across the 180th meridian, one nowhere."""
    for code in ("heron", "otter"):
        school = {"code": code, "name": code, "time_zone": "America/New_York"}
        assert empty_api.post("/v1/schools", school).status_code == 201
        empty_api.keys[code] = empty_api.key("school", code)
    place(empty_api, "coarse", 40.1234, -75.6789, 1)  # shown at 40.1, -75.7
    place(empty_api, "fine", 40.1234, -75.6789, 4)
    place(empty_api, "island", -17.0, 179.96, 1)  # shown at 180.0
    place(empty_api, "nowhere", None, None, 3)
    return empty_api


@pytest.mark.parametrize(
    ("box", "public", "owner"),
    [
        ("-180,-90,180,90", {"coarse", "fine", "island"}, {"coarse", "fine", "island"}),
        ("-75.68,40.12,-75.67,40.13", {"fine"}, {"coarse", "fine"}),
        ("-75.7,40.1,-75.7,40.1", {"coarse"}, set()),
        ("-75.72,40.08,-75.69,40.11", {"coarse"}, set()),
        ("-75.6789,40.1234,-75.6789,40.1234", {"fine"}, {"coarse", "fine"}),
        ("179.95,-20,-179,-10", {"island"}, {"island"}),
        ("179,-20,179.97,-10", set(), {"island"}),
        ("170,-20,-170,-10", {"island"}, {"island"}),
        ("0,0,1,1", set(), set()),
    ],
)
def test_a_box_holds_what_the_asker_is_shown_in_it(
    placed: Api, box: str, public: set[str], owner: set[str]
) -> None:
    for key, expected in ((None, public), ("heron", public), ("otter", owner), ("coordinator", owner)):
        rows = placed.every(f"/v1/sites?bbox={box}", key)
        assert {row["code"] for row in rows} == expected, key
        latest = placed.every(f"/v1/sites/latest?bbox={box}", key)
        assert {row["site"] for row in latest} == expected, key
        covered = placed.every(f"/v1/coverage?bbox={box}", key)
        assert {row["site"] for row in covered} == expected, key


def test_no_search_by_boxes_finds_more_than_is_shown(placed: Api) -> None:
    # Halving: an honest filter stops giving anything new at the grid on which the place is shown.
    low, high = 40.0, 41.0
    for _ in range(20):
        middle = (low + high) / 2
        found = placed.every(f"/v1/sites?bbox=-180,{low},180,{middle}")
        if "coarse" in {row["code"] for row in found}:
            high = middle
        else:
            low = math.nextafter(middle, 90)
    assert high == pytest.approx(40.1, abs=1e-6)


@pytest.mark.parametrize("address", LISTS)
@pytest.mark.parametrize(
    "box",
    ["", "1,2,3", "1,2,3,4,5", "a,b,c,d", "0,10,1,9", "-76,40,9,-75,41,-9", "nan,0,1,1", "0,0,inf,1"],
)
def test_what_is_no_box_is_refused(empty_api: Api, address: str, box: str) -> None:
    answer = empty_api.get(f"{address}?bbox={box}")
    assert answer.status_code == 400
    assert "bbox" in answer.json()["detail"]


def test_lists_of_visits_take_the_box_of_their_site(api: Api) -> None:
    api.submit(visit("reed-02", catch=catch(("Heptageniidae", 60), ("Chironomidae", 50))))
    for address in ("/v1/visits", "/v1/readings", "/v1/scores"):
        # The fixture's sites lie at 40.123456, -75.654321 and are shown at 40.123, -75.654.
        assert api.every(f"{address}?bbox=-75.654,40.123,-75.654,40.123") != []
        assert api.every(f"{address}?bbox=-75.655,40.1234,-75.654,40.124") == []
        assert api.every(f"{address}?bbox=-75.655,40.1234,-75.654,40.124", "heron") != []
        assert api.every(f"{address}?bbox=-75.655,40.1234,-75.654,40.124", "otter") == []
