import numpy as np
import pytest

from service.science.scores.resampling import DRAWS
from service.science.scores.unseen import MISSED_PER_KIND, ONE_OF_TWO_NETS, average_animals, other_nets

CATCH = (60, 9, 2, 1, 1, 1)


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


def test_other_nets_bring_up_whole_animals_about_the_averages():
    # Poisson about a gamma distribution: mean and variance add up to twice the shape (textbook)
    nets = np.concatenate([other_nets(CATCH, seed)[:, 0] for seed in range(10)])
    assert nets.dtype.kind == "i"
    assert nets.mean() == pytest.approx(59.5, rel=0.02)
    assert nets.var() == pytest.approx(2 * 59.5, rel=0.06)


def test_two_nets_of_a_log_series_differ_by_the_chance_of_both():
    # Fisher, Corbet & Williams 1943: 60 kinds met once, 30 twice, 20 three times, ... The number of kinds in
    # a net then has the variance 60 ln 2 (integral of exp(-a) - exp(-2a) over da / a, by hand)
    counts = tuple(number for number in range(1, 61) for _ in range(60 // number))
    kinds = np.count_nonzero(other_nets(counts, 3), axis=1)
    assert kinds.mean() == pytest.approx(len(counts), rel=0.03)
    assert (ONE_OF_TWO_NETS**2) * kinds.var() == pytest.approx(60 * np.log(2), rel=0.15)


def test_draws_follow_the_seed():
    assert (average_animals(CATCH, 5) == average_animals(CATCH, 5)).all()
    assert not (average_animals(CATCH, 5) == average_animals(CATCH, 6)).all()


@pytest.mark.parametrize("counts", [(), (3, 0)])
def test_a_kind_that_was_not_met_is_refused(counts):
    with pytest.raises(ValueError, match="at least one animal"):
        average_animals(counts, 1)
