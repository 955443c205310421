import numpy as np
import pytest

from service.science.scores.index import Definition
from service.science.scores.resampling import DRAWS, doubt_of, draw_mean, draw_share, moved_to, redraw
from tests.science.scores.catches import FAMILIES_OF_THE_CLASS_VISIT, animals
from tests.science.scores.definitions import DEFINITIONS

DEFINITION = DEFINITIONS["family-biotic-extended"]


def class_visit_of(number):
    """The families of the class visit in the same shares, as a catch of another size (largest remainders)."""
    counts = np.array(list(FAMILIES_OF_THE_CLASS_VISIT.values()))
    exact = counts * number / counts.sum()
    whole = np.floor(exact).astype(int)
    for place in np.argsort(whole - exact, kind="stable")[: number - whole.sum()]:
        whole[place] += 1
    return tuple(int(count) for count in whole)


@pytest.mark.parametrize(
    ("number", "low", "high", "tolerance"),
    [
        # Middle 95 % of 20 000 draws by a separate program, from the shares of the 181 valued animals.
        # The tolerance is for whole animals in a small catch and for the chance of 1000 draws.
        (12, 3.67, 5.67, 0.35),
        (30, 4.07, 5.33, 0.25),
        (50, 4.22, 5.20, 0.15),
        (100, 4.36, 5.05, 0.07),
        (200, 4.46, 4.95, 0.05),
    ],
)
def test_the_range_narrows_with_the_catch_as_it_should(number, low, high, tolerance):
    tolerances = np.array([float(animals(name, 1).taxon.tolerance) for name in FAMILIES_OF_THE_CLASS_VISIT])
    draws = redraw(class_visit_of(number), 1)
    found_low, found_high = np.quantile(draws @ tolerances / number, [0.025, 0.975])
    assert found_low == pytest.approx(low, abs=tolerance)
    assert found_high == pytest.approx(high, abs=tolerance)


@pytest.mark.parametrize(("part", "animals"), [(0, 30), (3, 30), (15, 30), (30, 30), (86, 186)])
def test_a_share_is_drawn_with_half_an_animal_more_on_either_side(part, animals):
    # mean of a beta distribution (textbook)
    share = draw_share(part, animals, 3).mean()
    assert share == pytest.approx((part + 0.5) / (animals + 1), abs=0.006)


def test_a_mean_is_drawn_with_half_an_animal_more_of_any_worth():
    # Dirichlet weights: (30 x 2 + 10 x 6 + 0.5 x 5) / 40.5, and the variance of the mean by hand
    shares, worths = np.array([30, 10, 0.5]) / 40.5, np.array([2.0, 6.0, 5.0])
    mean = shares @ worths
    variance = (shares @ worths**2 + shares[2] * 100 / 12 - mean**2) / 41.5
    drawn = np.concatenate([draw_mean([30, 10], [2.0, 6.0], (0.0, 10.0), seed) for seed in range(10)])
    assert drawn.mean() == pytest.approx(mean, abs=0.01)
    assert drawn.var() == pytest.approx(variance, rel=0.06)


def test_each_draw_has_as_many_animals_as_the_catch():
    draws = redraw((3, 0, 40), 5)
    assert draws.shape == (DRAWS, 3)
    assert (draws.sum(axis=1) == 43).all()
    assert (draws[:, 1] == 0).all()


def test_draws_follow_the_seed():
    redraw.cache_clear()
    first = redraw((3, 9, 40), 5).copy()
    redraw.cache_clear()
    assert (redraw((3, 9, 40), 5) == first).all()
    assert not (redraw((3, 9, 40), 6) == first).all()


def test_shared_draws_cannot_be_changed():
    with pytest.raises(ValueError, match="read-only"):
        redraw((3, 9), 1)[0, 0] = 7


def test_the_range_is_the_middle_90_percent():
    # the 5th and 95th percentile of 0.00 to 10.00
    doubt = doubt_of(np.linspace(0.0, 10.0, 1001), DEFINITION)
    assert (doubt.low, doubt.high) == (0.5, 9.5)
    # 376 of the 1001 values are 3.75 or less
    assert doubt.bands["excellent"] == pytest.approx(376 / 1001)


def test_draws_without_anything_to_score_are_passed_over():
    doubt = doubt_of(np.array([np.nan, 2.0, 4.0]), DEFINITION)
    assert doubt.bands == {"excellent": 0.5, "very good": 0.5}


def test_nothing_to_score_in_any_draw():
    doubt = doubt_of(np.array([np.nan]), DEFINITION)
    assert (doubt.low, doubt.high, doubt.bands) == (None, None, {})


def test_a_range_without_width_is_no_certainty():
    assert doubt_of(np.array([2.0, 2.0]), DEFINITION).reasons
    # 2.001 and 2.002 are both 2.00 where two decimals are shown
    assert doubt_of(np.array([2.001, 2.002]), DEFINITION).reasons
    assert doubt_of(np.array([2.0, 2.1]), DEFINITION).reasons == ()


@pytest.mark.parametrize(
    ("values", "bounds", "moved"),
    [
        # by hand: the mean 2 comes to stand on 3
        ([1.0, 2.0, 3.0], {}, [2.0, 3.0, 4.0]),
        ([1.0, 2.0, 3.0], {"most": 3.5}, [2.0, 3.0, 3.5]),
        ([1.0, 2.0, 3.0], {"least": 2.5}, [2.5, 3.0, 4.0]),
        ([-6.0, 10.0], {}, [0.0, 11.0]),
        ([1.0, 2.0, 3.0], {"width": 0.5}, [2.5, 3.0, 3.5]),
        ([1.0, np.nan, 3.0], {}, [2.0, np.nan, 4.0]),
        ([np.nan], {}, [np.nan]),
    ],
)
def test_draws_move_to_the_score_and_stay_within_what_the_index_can_be(values, bounds, moved):
    found = moved_to(3.0, np.array(values), **bounds)
    assert found.tolist() == pytest.approx(moved, nan_ok=True)


def test_an_index_without_bands_has_a_range_and_no_chances():
    doubt = doubt_of(np.array([1.0, 2.0]), Definition("any", 1, 1))
    assert doubt.bands == {}
    assert doubt.low < doubt.high
