"""The multimetric index: sum or mean of its metrics, its doubt, and where it says nothing.

The rules: EPA 841-B-99-002, section 9.1.1. Reference catches and the catches to score are invented.
"""

from collections.abc import Sequence
from dataclasses import replace
from statistics import quantiles

import numpy as np
import pytest

from service.science.catch import Catch
from service.science.scores.index import Score, Standing
from service.science.scores.metric_scoring import Scoring, frozen_metric
from service.science.scores.multimetric import FrozenIndex, combine, score_multimetric
from service.science.scores.reference_bands import NAMES, reference_bands
from service.science.scores.registry import score_catch
from tests.science.scores.catches import TAXA, counted, lettered
from tests.science.scores.definitions import DEFINITIONS

SEED = 7
# index, whether it rises with disturbance, the worst it can be
METRICS = (("ept-richness", False, 0.0), ("ept-percent", False, 0.0), ("family-biotic-extended", True, 10.0))
ANIMALS = (
    "Perlidae",
    "Heptageniidae",
    "Baetidae",
    "Hydropsychidae",
    "Glossosomatidae",
    "Elmidae",
    "Chironomidae",
)
REFERENCE = [
    (8, 40, 20, 25, 3, 10, 14),
    (5, 35, 12, 30, 0, 12, 26),
    (11, 44, 18, 21, 6, 9, 11),
    (2, 28, 16, 34, 0, 15, 25),
    (9, 38, 22, 19, 2, 12, 18),
    (0, 41, 17, 33, 4, 8, 37),
    (7, 29, 25, 22, 5, 16, 16),
    (6, 33, 19, 27, 0, 11, 24),
    (12, 36, 21, 18, 7, 14, 12),
    (4, 31, 0, 36, 1, 13, 35),
]
GOOD = counted(
    Perlidae=9, Heptageniidae=40, Baetidae=20, Hydropsychidae=20, Glossosomatidae=4, Chironomidae=27
)
POOR = counted(Hydropsychidae=4, Chironomidae=90, Oligochaeta=60, Physidae=20)
RARE = counted(
    Perlidae=1, Heptageniidae=12, Glossosomatidae=1, Hydropsychidae=30, Chironomidae=70, Limnephilidae=1
)
MIDDLING = counted(Heptageniidae=12, Baetidae=20, Hydropsychidae=30, Chironomidae=50, Oligochaeta=8)


def scores_of(catch: Catch) -> tuple[Score, ...]:
    return score_catch(catch, DEFINITIONS, SEED)


def values_of(catch: Catch) -> list[float]:
    by_index = {score.index: score.value for score in scores_of(catch)}
    return [by_index[name] for name, _, _ in METRICS]  # type: ignore[misc]


REFERENCE_VALUES = [values_of(counted(**dict(zip(ANIMALS, row, strict=True)))) for row in REFERENCE]
BY_METRIC = list(zip(*REFERENCE_VALUES, strict=True))


def frozen(scoring: Scoring, gear: str | None = None) -> FrozenIndex:
    metrics = tuple(
        frozen_metric(name, 1, values, rises_with_disturbance=rises, worst=worst, scoring=scoring)
        for (name, rises, worst), values in zip(METRICS, BY_METRIC, strict=True)
    )
    reference = combine(metrics, [np.array(values) for values in BY_METRIC])
    bands = reference_bands([round(float(one), 1) for one in reference], scoring, len(metrics))
    return FrozenIndex("own-index", 3, gear, scoring, metrics, bands)


def scored(catch: Catch, scoring: Scoring = Scoring.QUARTILES, gear: str | None = None) -> Score:
    return score_multimetric(catch, scores_of(catch), frozen(scoring, gear), DEFINITIONS)


def second_way(values: Sequence[float], scoring: Scoring) -> float:
    """Reckon an index with the standard library, by bounds in the unit of each metric."""
    points = []
    for value, reference, (_, rises, worst) in zip(values, BY_METRIC, METRICS, strict=True):
        # A metric that rises is turned round, so that more is better for all.
        turn = -1 if rises else 1
        here, floor, known = turn * value, turn * worst, [turn * one for one in reference]
        if scoring is Scoring.QUARTILES:
            five = quantiles(known, n=4, method="inclusive")[0]
            three = (five + floor) / 2
        else:
            best = quantiles(known, n=20, method="inclusive")[-1]
            five, three = floor + (best - floor) * 2 / 3, floor + (best - floor) / 3
        if scoring is Scoring.CONTINUOUS:
            points.append(100 * min(1, max(0, (here - floor) / (best - floor))))
        else:
            points.append(5 if here >= five else 3 if here >= three else 1)
    return sum(points) / len(points) if scoring is Scoring.CONTINUOUS else sum(points)


@pytest.mark.parametrize("scoring", list(Scoring))
@pytest.mark.parametrize("catch", [GOOD, MIDDLING, POOR], ids=["good", "middling", "poor"])
def test_two_ways_of_reckoning_agree(catch: Catch, scoring: Scoring) -> None:
    assert scored(catch, scoring).value == pytest.approx(second_way(values_of(catch), scoring), abs=0.05)


@pytest.mark.parametrize("scoring", list(Scoring))
def test_what_is_like_the_reference_ranks_above_what_is_not(scoring: Scoring) -> None:
    good, middling, poor = (scored(catch, scoring) for catch in (GOOD, MIDDLING, POOR))
    assert None not in (good.value, middling.value, poor.value)
    assert good.value > middling.value > poor.value  # type: ignore[operator]
    assert (good.band, poor.band) == (NAMES[0], NAMES[3])
    assert good.standing is Standing.RATED


@pytest.mark.parametrize("scoring", list(Scoring))
def test_the_reference_visits_themselves_fall_where_the_bands_say(scoring: Scoring) -> None:
    bands = [scored(counted(**dict(zip(ANIMALS, row, strict=True))), scoring).band for row in REFERENCE]
    assert bands.count(NAMES[0]) >= 7  # a quarter of ten may lie below the 25th percentile
    assert NAMES[3] not in bands


def test_the_range_holds_the_value_and_the_chances_are_whole() -> None:
    for scoring in Scoring:
        for catch in (GOOD, MIDDLING, POOR):
            score = scored(catch, scoring)
            assert score.low is not None
            assert score.low <= score.value <= score.high  # type: ignore[operator]
            assert sum(score.bands.values()) == pytest.approx(1)
            assert score.bands[score.band] > 0.3  # type: ignore[index]


def test_the_range_is_that_of_catches_scored_one_by_one() -> None:
    """Metrics of the same draw go together: the range is not put together from the metrics' own ranges."""
    score = scored(RARE, Scoring.CONTINUOUS)
    by_index = {one.index: one for one in scores_of(RARE)}
    drawn = [by_index[name].draws() for name, _, _ in METRICS]
    moved = [
        draws - draws.mean() + by_index[name].value
        for draws, (name, _, _) in zip(drawn, METRICS, strict=True)
    ]
    values = sorted(second_way(catch, Scoring.CONTINUOUS) for catch in zip(*moved, strict=True))
    twentieths = quantiles(values, n=20, method="inclusive")
    assert (score.low, score.high) == pytest.approx((twentieths[0], twentieths[-1]), abs=0.06)


def test_a_small_catch_leaves_more_open_and_is_no_firm_score() -> None:
    small = counted(Heptageniidae=6, Baetidae=10, Hydropsychidae=15, Chironomidae=25, Oligochaeta=4)
    large, little = scored(MIDDLING, Scoring.CONTINUOUS), scored(small, Scoring.CONTINUOUS)
    assert little.high - little.low > large.high - large.low  # type: ignore[operator]
    assert little.standing is Standing.PROVISIONAL
    assert "60 animals; 100 wanted" in little.reasons


@pytest.mark.parametrize(
    ("catch", "standing", "said"),
    [
        (counted(Heptageniidae=8, Hydropsychidae=5), Standing.TOO_FEW, "13 animals; 100 wanted"),
        (counted(Heptageniidae=80, Baetidae=60), Standing.PROVISIONAL, "only Ephemeroptera"),
        (counted(), Standing.EMPTY, "no animal was found"),
        (lettered([(TAXA["Perlidae"], "C")]), Standing.MISSING, "ept-richness is missing: needs counts"),
    ],
)
def test_what_its_metrics_may_not_say_the_index_may_not_either(
    catch: Catch, standing: Standing, said: str
) -> None:
    score = scored(catch)
    assert (score.standing, score.band, score.bands) == (standing, None, {})
    assert any(said in reason for reason in score.reasons)


def test_one_doubtful_metric_makes_the_index_doubtful() -> None:
    doubted = [
        replace(score, standing=Standing.PROVISIONAL, reasons=("a check is in doubt",))
        if score.index == "ept-percent"
        else score
        for score in scores_of(GOOD)
    ]
    score = score_multimetric(GOOD, doubted, frozen(Scoring.QUARTILES), DEFINITIONS)
    assert (score.value, score.standing) == (scored(GOOD).value, Standing.PROVISIONAL)
    assert "a check is in doubt" in score.reasons


def test_an_empty_net_has_the_lowest_index_where_all_its_metrics_count_kinds() -> None:
    whole = frozen(Scoring.QUARTILES)
    of_kinds = replace(whole, metrics=whole.metrics[:1])
    score = score_multimetric(counted(), scores_of(counted()), of_kinds, DEFINITIONS)
    assert (score.value, score.band, score.standing) == (1.0, None, Standing.EMPTY)
    assert not any("range" in reason for reason in score.reasons)


def test_an_index_is_for_the_gear_of_its_reference_visits_only() -> None:
    netted = replace(GOOD, gear="kick-seine")
    assert scored(netted, gear="kick-seine").value == scored(GOOD).value
    for other, said in ((replace(GOOD, gear="surber"), "surber"), (GOOD, "no gear was noted")):
        score = scored(other, gear="kick-seine")
        assert (score.value, score.standing) == (None, Standing.MISSING)
        assert said in score.reasons[0]


def test_how_the_catch_compares_at_all_is_said_also_of_a_firm_score() -> None:
    sorted_in_part = replace(GOOD, gear="d-net", sorted_share=0.25)
    assert scored(sorted_in_part).standing is Standing.RATED
    (reason,) = scored(sorted_in_part).reasons
    assert "only 25 % of the sample was sorted" in reason


def test_a_metric_under_another_definition_cannot_stand_in() -> None:
    newer = [
        replace(score, definition=2) if score.index == "ept-percent" else score for score in scores_of(GOOD)
    ]
    score = score_multimetric(GOOD, newer, frozen(Scoring.QUARTILES), DEFINITIONS)
    assert (score.value, score.standing) == (None, Standing.MISSING)
    assert "definition 2" in score.reasons[0]


def test_the_score_bears_the_code_and_the_number_of_the_index() -> None:
    assert (scored(GOOD).index, scored(GOOD).definition) == ("own-index", 3)
