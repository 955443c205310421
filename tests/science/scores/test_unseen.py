import numpy as np
import pytest

from service.science.scores.resampling import DRAWS
from service.science.scores.unseen import (
    MISSED_PER_KIND,
    ONE_OF_TWO_NETS,
    average_animals,
    chance_of_fewer,
    other_nets,
)

CATCH = (60, 9, 2, 1, 1, 1)
BOUNDS = (1, 10, 100)


def test_a_column_for_each_kind_and_its_missed_ones():
    assert average_animals(CATCH, 1).shape == (DRAWS, len(CATCH) * (1 + MISSED_PER_KIND))


def test_a_met_kind_is_a_little_rarer_than_it_looked():
    # mean and variance of a gamma distribution are its shape (textbook)
    sixty = average_animals(CATCH, 1)[:, 0]
    shape = 59.5
    assert sixty.mean() == pytest.approx(shape, abs=4 * np.sqrt(shape / DRAWS))
    assert sixty.var() == pytest.approx(shape, rel=0.2)


@pytest.mark.parametrize("counts", [CATCH, (1,), (1, 1, 1, 1), (3, 3, 3), (40, 12, 1)])
def test_nets_gain_as_many_missed_kinds_as_they_lose(counts):
    # Poisson: a kind with the average a is not in the share exp(-a) of all nets
    gone = np.exp(-np.concatenate([average_animals(counts, seed) for seed in range(20)]))
    lost = gone[:, : len(counts)].sum(axis=1).mean()
    gained = (1 - gone[:, len(counts) :]).sum(axis=1).mean()
    assert gained == pytest.approx(lost, abs=0.03)
    # exactly: 2 to the power of -(n - 1/2) for each kind
    assert lost == pytest.approx(sum(2.0 ** -(count - 0.5) for count in counts), abs=0.03)


def test_common_kinds_alone_leave_no_room_for_missed_ones():
    assert average_animals((5000, 2000), 1)[:, 2:].max() == 0.0


def test_other_nets_reach_the_bounds_as_often_as_whole_animals_about_the_averages_do():
    # the long way: an average from the gamma distribution, then a Poisson number about it
    dice = np.random.default_rng(7)
    long_way = np.concatenate([dice.poisson(average_animals(CATCH, seed)) for seed in range(20)])
    short_way = np.concatenate([other_nets(CATCH, BOUNDS, seed) for seed in range(20)])
    for place, bound in enumerate(BOUNDS, 1):
        assert (short_way >= place).mean(axis=0) == pytest.approx((long_way >= bound).mean(axis=0), abs=0.014)


@pytest.mark.parametrize(
    ("bound", "shape", "chance"),
    [
        # negative binomial distribution with chance 1/2 (textbook): none in 2 to the power of -s; of shape 1
        # the geometric one; of shape 2 the sum of (k + 1) / 2 to the power of k + 2, by hand
        (1, 0.5, 2**-0.5),
        (1, 59.5, 2**-59.5),
        (10, 1.0, 1 - 2**-10),
        (3, 2.0, 1 / 4 + 2 / 8 + 3 / 16),
        (100, 0.0, 1.0),
        (100, 5000.0, 0.0),
    ],
)
def test_the_chance_of_fewer_animals_than_a_bound(bound, shape, chance):
    assert chance_of_fewer(bound, np.array([shape]))[0] == pytest.approx(chance, rel=1e-9)


def test_two_nets_of_a_log_series_differ_by_the_chance_of_both():
    # Fisher, Corbet & Williams 1943: 60 kinds met once, 30 twice, 20 three times, ... The number of kinds in
    # a net then has the variance 60 ln 2 (integral of exp(-a) - exp(-2a) over da / a, by hand)
    counts = tuple(number for number in range(1, 61) for _ in range(60 // number))
    kinds = other_nets(counts, (1,), 3).sum(axis=1)
    assert kinds.mean() == pytest.approx(len(counts), rel=0.03)
    assert (ONE_OF_TWO_NETS**2) * kinds.var() == pytest.approx(60 * np.log(2), rel=0.15)


def test_draws_follow_the_seed():
    assert (average_animals(CATCH, 5) == average_animals(CATCH, 5)).all()
    assert not (average_animals(CATCH, 5) == average_animals(CATCH, 6)).all()


@pytest.mark.parametrize("counts", [(), (3, 0)])
def test_a_kind_that_was_not_met_is_refused(counts):
    with pytest.raises(ValueError, match="at least one animal"):
        average_animals(counts, 1)
