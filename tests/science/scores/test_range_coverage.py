"""The 90 % ranges hold the true value about nine times in ten: a small, seeded share of the benchmark.

One invented community of 20 kinds. True values are worked out apart from the service: textbook formulas,
`scipy.stats`, and plain counting in many catches.
"""

import numpy as np
import pytest
from scipy.stats import binom, entropy

from service.science.scores.diversity import DOMINANT_PERCENT, EVENNESS, SHANNON, SIMPSON
from service.science.scores.streamside_survey import INDEX as STREAMSIDE
from tests.science.scores.catches import animals, counted, kind
from tests.science.scores.definitions import DEFINITIONS

SIZE, CATCHES = 100, 150
SHARES = 0.75 ** np.arange(20) / np.sum(0.75 ** np.arange(20))
KINDS = [kind(f"kind {place}", 1 + place % 3) for place in range(20)]
MANY = np.random.default_rng(8).multinomial(SIZE, SHARES, size=20_000)
# Factors of a rare, common and dominant kind of each group: EPA 841-B-97-003 (1997), from memory.
FACTORS = {1: (5.0, 5.6, 5.3), 2: (3.2, 3.4, 3.0), 3: (1.2, 1.1, 1.0)}


def expected_streamside() -> float:
    points = 0.0
    for taxon, share in zip(KINDS, SHARES, strict=True):
        below = binom.cdf([0, 9, 99], SIZE, share)
        points += float(np.dot(FACTORS[taxon.streamside_group or 0], np.diff([*below, 1.0])))
    return points


EXPECTED = {
    STREAMSIDE: expected_streamside(),
    DOMINANT_PERCENT: 100 * MANY.max(axis=1).mean() / SIZE,
    SHANNON: entropy(MANY, axis=1).mean(),
    # textbook: the mean of 1 - D in catches of n is (n - 1) / n of that of the community
    SIMPSON: (1 - np.sum(SHARES**2)) * (SIZE - 1) / SIZE,
    EVENNESS: np.mean(entropy(MANY, axis=1) / np.log(np.count_nonzero(MANY, axis=1))),
}


@pytest.mark.parametrize("index", EXPECTED, ids=lambda index: index.id)
def test_ranges_hold_what_catches_of_this_size_give_on_average(index):
    held = below = 0
    for place, counts in enumerate(np.random.default_rng(4).multinomial(SIZE, SHARES, size=CATCHES)):
        catch = counted(*(animals(taxon, int(count)) for taxon, count in zip(KINDS, counts, strict=True)))
        score = index.score(catch, DEFINITIONS[index.id], place)
        held += score.low <= EXPECTED[index] <= score.high
        below += score.high < EXPECTED[index]
    # 90 % of 150 are 135, give or take three standard errors of 3.7; a range that leans misses far more often
    assert held >= 124
    assert below <= 20
