import pytest

from service.science.qa.robust_reference import (
    Centre,
    Neighbourhood,
    Point,
    centre_of,
    judge,
    smallest_distance,
    threshold,
)
from service.science.types import Censoring
from tests.science.check_table import numbers, rows
from tests.science.qa.limits import limits_for

BELOW, ABOVE = Censoring.BELOW, Censoring.ABOVE
THRESHOLDS = {
    int(name[2:]): value for name, value in limits_for("site-outlier").items() if name.startswith("c_")
}
CASES = rows("outlier_scheme_cases")
EVALUATED = [case for case in CASES if case["flag"] != "2"]


def values(cell):
    return [float(value) for value in cell.split()]


def judged(case):
    floor = float(case["floor"])
    centre = centre_of([Point(value) for value in values(case["reference"])], floor)
    around = Neighbourhood(tuple(values(case["neighbour_anomalies"])), tuple(values(case["past_residuals"])))
    return centre, judge(Point(float(case["x"])), centre, floor, THRESHOLDS, around)


def test_every_case_is_there():
    assert len(CASES) == 17
    assert len(EVALUATED) == 16


@pytest.mark.parametrize("case", EVALUATED, ids=lambda case: case["case"])
def test_scheme_cases(case):
    centre, judgement = judged(case)
    tolerance = float(case["tolerance"])
    assert centre.count == int(case["count"])
    assert (centre.median, centre.mad, centre.spread) == pytest.approx(
        (float(case["median"]), float(case["mad"]), float(case["spread"])), abs=1e-9
    )
    assert judgement.z_own == pytest.approx(float(case["z_own"]), abs=tolerance)
    assert judgement.threshold_own == pytest.approx(float(case["threshold_own"]), abs=1e-9)
    assert judgement.suspect is (case["flag"] == "3")


@pytest.mark.parametrize("case", [case for case in EVALUATED if case["z_residual"]], ids=lambda c: c["case"])
def test_scheme_cases_with_neighbours(case):
    _, judgement = judged(case)
    assert judgement.z_residual == pytest.approx(float(case["z_residual"]), abs=float(case["tolerance"]))
    assert judgement.threshold_residual == pytest.approx(float(case["threshold_residual"]), abs=1e-9)


@pytest.mark.parametrize(
    "case", [case for case in EVALUATED if not case["z_residual"]], ids=lambda c: c["case"]
)
def test_scheme_cases_by_own_history_only(case):
    _, judgement = judged(case)
    assert judgement.z_residual is None


def test_too_few_references_have_no_threshold():
    # case C1
    (case,) = [case for case in CASES if case["flag"] == "2"]
    with pytest.raises(ValueError, match="5 references"):
        judged(case)


@pytest.mark.parametrize(("count", "expected", "tolerance"), numbers("outlier_thresholds"))
def test_threshold_by_count(count, expected, tolerance):
    assert threshold(int(count), THRESHOLDS) == pytest.approx(expected, abs=tolerance)


def test_seven_references_are_too_few():
    with pytest.raises(ValueError, match="begin at 8"):
        threshold(7, THRESHOLDS)


def plain(*numbers):
    return [Point(float(number)) for number in numbers]


def test_the_mad_of_normal_data_becomes_a_standard_deviation():
    # median 201.37 and MAD 0.995 of eight published readings (NIST/SEMATECH e-Handbook 1.3.5.17.1); x 1.4826
    centre = centre_of(plain(199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57), floor=0.01)
    assert (centre.median, centre.mad) == pytest.approx((201.37, 0.995))
    assert centre.spread == pytest.approx(1.475187)


def test_equal_readings_have_the_floor_as_their_spread():
    assert centre_of(plain(7.5, 7.5, 7.5), floor=0.3) == Centre(7.5, 0.0, 0.3, 3)


@pytest.mark.parametrize(
    ("plain_values", "limit", "side", "how_many", "median", "censored"),
    [
        # by hand: fewer than half censored, each stands at its limit
        ((34, 41, 27, 52), 60, ABOVE, 3, 52, None),
        # exactly half, or more: only "beyond the limit" is known
        ((34, 41, 27, 52), 60, ABOVE, 4, 60, ABOVE),
        ((34,), 60, ABOVE, 8, 60, ABOVE),
        ((1, 2, 2, 4, 1), 0.25, BELOW, 4, 1, None),
        ((1, 2, 2), 0.25, BELOW, 5, 0.25, BELOW),
        ((), 0.25, BELOW, 8, 0.25, BELOW),
    ],
)
def test_censored_references(plain_values, limit, side, how_many, median, censored):
    centre = centre_of(plain(*plain_values) + [Point(limit, side)] * how_many, floor=0.1)
    assert (centre.median, centre.censored, centre.cut) == (median, censored, 0)


def test_a_long_and_a_short_tube_are_cut_at_the_short_one():
    # by hand: 45, >60, 80 of the long tube and >120 become 45, >60, >60, >60
    points = [Point(45.0), Point(60.0, ABOVE), Point(80.0), Point(120.0, ABOVE)]
    centre = centre_of(points, floor=1.0)
    assert (centre.median, centre.censored, centre.cut) == (60.0, ABOVE, 2)


def test_two_lower_limits_are_cut_at_the_higher_one():
    centre = centre_of([Point(0.25, BELOW), Point(1.0, BELOW), Point(0.5), Point(3.0)], floor=0.1)
    assert (centre.median, centre.censored, centre.cut) == (1.0, BELOW, 2)


@pytest.mark.parametrize(
    "points",
    [
        [],
        [Point(8.0, BELOW), Point(4.0, ABOVE)],
        [Point(1.0, BELOW), Point(9.0, ABOVE)],  # half below, half above: the middle may be anywhere
    ],
)
def test_references_that_leave_nothing_to_compare(points):
    with pytest.raises(ValueError):
        centre_of(points, floor=0.1)


def test_a_floor_is_needed():
    with pytest.raises(ValueError, match="floor"):
        centre_of(plain(1, 2), floor=0.0)


@pytest.mark.parametrize(
    ("point", "centre", "centre_censored", "distance"),
    [
        # by hand, on the number line
        (Point(9), 5, None, 4),
        (Point(2), 5, None, 3),
        (Point(120, ABOVE), 20, None, 100),
        (Point(60, ABOVE), 80, None, 0),  # may be 80
        (Point(4, BELOW), 9, None, 5),
        (Point(4, BELOW), 1, None, 0),
        (Point(60, ABOVE), 60, ABOVE, 0),  # censored the same way
        (Point(40), 60, ABOVE, 20),
        (Point(90), 60, ABOVE, 0),
        (Point(0.25, BELOW), 0.25, BELOW, 0),
        (Point(3), 0.25, BELOW, 2.75),
        (Point(0.1), 0.25, BELOW, 0),
        (Point(4, BELOW), 60, ABOVE, 56),
    ],
)
def test_smallest_distance(point, centre, centre_censored, distance):
    assert smallest_distance(point, centre, centre_censored) == distance


def test_a_full_tube_against_muddy_water_keeps_its_least_distance():
    # "> 120 cm" against a median of 20 cm is at least log10 6 = 0.778, 7.78 floors of 0.10
    centre = centre_of(plain(*[1.30103] * 20), floor=0.1)
    judgement = judge(Point(2.0791812, ABOVE), centre, 0.1, THRESHOLDS)
    assert judgement.z_own == pytest.approx(7.7815, abs=1e-3)
    assert judgement.suspect


def test_near_its_own_history_nothing_is_suspect_whatever_the_neighbours_do():
    # by hand: own z 1.5; the neighbours rose by 1.0, so the residual is -0.85: 8.5 spreads
    centre = centre_of(plain(*[1.0] * 20), floor=0.1)
    around = Neighbourhood((1.0, 1.0, 1.0), (0.0,) * 10)
    judgement = judge(Point(1.15), centre, 0.1, THRESHOLDS, around)
    assert judgement.z_residual == pytest.approx(8.5)
    assert judgement.z_residual > judgement.threshold_residual
    assert not judgement.suspect


@pytest.mark.parametrize(
    ("anomalies", "z_residual", "suspect"),
    [
        ((-0.7,) * 3, 0.0, False),
        ((-0.3,) * 3, 4.0, False),
        ((0.0,) * 3, 7.0, True),
        ((-0.7,) * 2, None, True),
    ],
)
def test_a_limit_as_the_centre_moves_with_the_neighbours(anomalies, z_residual, suspect):
    # by hand: 1.3 against "more than 2.0" is 7 spreads of 0.1; what the neighbours fell is taken off
    centre = centre_of([Point(2.0, ABOVE)] * 20, floor=0.1)
    judgement = judge(Point(1.3), centre, 0.1, THRESHOLDS, Neighbourhood(anomalies))
    assert judgement.z_own == pytest.approx(7.0)
    assert judgement.z_residual == (None if z_residual is None else pytest.approx(z_residual))
    assert judgement.suspect is suspect


@pytest.mark.parametrize(("anomalies", "residuals"), [(2, 8), (3, 7)])
def test_too_few_neighbours_or_past_residuals_leave_the_own_history(anomalies, residuals):
    centre = centre_of(plain(*[1.0] * 20), floor=0.1)
    around = Neighbourhood((-0.7,) * anomalies, (0.0,) * residuals)
    judgement = judge(Point(0.3), centre, 0.1, THRESHOLDS, around)
    assert judgement.z_residual is None
    assert judgement.suspect
