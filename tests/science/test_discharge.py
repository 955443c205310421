import pytest

from service.science.discharge import float_discharge, mid_section_flows, transect_area, verticals_doubt
from service.science.gauging import Bottom, FloatGauging, Transect, Vertical, VerticalGauging, waded_places
from service.science.units import convert
from tests.science.check_table import numbers, rows

FOOT_M = 0.3048  # by definition
TABLE = numbers("mid_section")
VERTICALS = tuple(Vertical(*row[:3]) for row in TABLE)
FLOATS = [
    (
        float(row["area_ft2"]) * FOOT_M**2,
        float(row["length_ft"]) * FOOT_M,
        [float(time) for time in row["times_s"].split()],
        Bottom(row["bottom"]),
        float(row["expected_ft3_per_s"]),
        float(row["tolerance"]),
    )
    for row in rows("float_discharge")
]


@pytest.mark.parametrize(("area", "length", "times", "bottom", "expected", "tolerance"), FLOATS)
def test_float_discharge(area, length, times, bottom, expected, tolerance):
    found = convert(float_discharge(area, length, times, bottom), "m3/s", "ft3/s")
    assert found == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize(
    ("width_ft", "depths_ft", "area_ft2"), [(12, (0.8, 1.2, 0.7), 8.1), (14, (0.7, 1.0, 0.9), 9.1)]
)
def test_transect_area(width_ft, depths_ft, area_ft2):
    # four equal strips, 0 at both banks, by hand: 12/4 x (0.4 + 1.0 + 0.95 + 0.35) = 8.1 ft2
    transect = Transect(width_ft * FOOT_M, tuple(depth * FOOT_M for depth in depths_ft))
    assert transect_area(transect) / FOOT_M**2 == pytest.approx(area_ft2, abs=1e-9)


def test_mid_section_flows():
    found = mid_section_flows(VERTICALS)
    assert found == pytest.approx([row[3] for row in TABLE], abs=1e-9)
    # means multiplied would give 0.346256 m3/s, and strips between verticals 0.523045 m3/s
    assert sum(found) == pytest.approx(0.533615, abs=1e-6)


def test_the_edges_count_half_the_way_to_their_only_neighbour():
    # a wall for a bank: 0.5 m/s x 0.4 m x (1 + 1 + 2) m / 2 at three places 1 m apart, by hand
    wall = [Vertical(at, 0.4, 0.5) for at in (0.0, 1.0, 2.0)]
    assert mid_section_flows(wall) == pytest.approx([0.1, 0.2, 0.1])


def test_water_that_runs_backwards_is_taken_off():
    eddy = [Vertical(0, 0, 0), Vertical(1, 0.2, -0.1), Vertical(2, 0.4, 0.5), Vertical(3, 0, 0)]
    assert sum(mid_section_flows(eddy)) == pytest.approx(0.18)  # 0.2 - 0.02, by hand


@pytest.mark.parametrize(
    "verticals",
    [
        [Vertical(0, 0, 0), Vertical(1, 0.2, 0.1)],
        [Vertical(0, 0, 0), Vertical(1, 0.2, 0.1), Vertical(1, 0, 0)],
        [Vertical(0, 0, 0), Vertical(2, 0.2, 0.1), Vertical(1, 0, 0)],
        [Vertical(0, 0, 0), Vertical(1, -0.2, 0.1), Vertical(2, 0, 0)],
        [Vertical(0, 0, 0), Vertical(1, 0.2, -0.1), Vertical(2, 0, 0)],
    ],
    ids=["two", "same place", "not in order", "depth below 0", "backwards on the whole"],
)
def test_what_is_no_gauging_gives_no_flow(verticals):
    with pytest.raises(ValueError):
        mid_section_flows(verticals)


@pytest.mark.parametrize(
    ("area", "length", "times"), [(-1, 6, [14]), (1, 0, [14]), (1, 6, [14, 0]), (1, 6, [])]
)
def test_floats_that_did_not_float_give_no_discharge(area, length, times):
    with pytest.raises(ValueError):
        float_discharge(area, length, times, Bottom.ROCKY)


def test_a_dry_bed_and_a_short_way():
    # half a metre in half a second is 1 m/s (by definition)
    assert float_discharge(0.0, 6.0, [14.0], Bottom.ROCKY) == 0.0
    assert float_discharge(1.0, 0.5, [0.5], Bottom.MUDDY) == pytest.approx(0.9)


@pytest.mark.parametrize(
    "transect", [Transect(0, (0.1, 0.1, 0.1)), Transect(3, (0.1, 0.1)), Transect(3, (0.1, -0.1, 0.1))]
)
def test_what_is_no_transect_has_no_area(transect):
    with pytest.raises(ValueError):
        transect_area(transect)


@pytest.mark.parametrize(
    ("count", "percent"),
    [
        (5, 15),
        (9, 15),
        (10, 9),
        (14, 9),
        (15, 6),
        (19, 6),
        (20, 5),
        (25, 4),
        (30, 3),
        (34, 3),
        (35, 2),
        (40, 2),
    ],
)
def test_doubt_of_few_verticals(count, percent):
    # ISO 748, doubt of 95 % from a limited number of verticals (from memory)
    assert verticals_doubt(count) == percent


def test_the_doubt_of_fewer_than_five_verticals_is_not_known():
    with pytest.raises(ValueError):
        verticals_doubt(4)


def test_where_somebody_stood_to_measure():
    transects = Transect(3, (0.2, 0.3, 0.3)), Transect(3, (0.2, 0.5, 0.3))
    floats = FloatGauging(6.0, (10.0, 20.0), Bottom.MUDDY, transects)
    assert waded_places(floats) == ((0.5, 0.4),)  # 6 m in 15 s, at the deepest
    assert waded_places(VerticalGauging(VERTICALS))[6] == (0.44, 0.48)
