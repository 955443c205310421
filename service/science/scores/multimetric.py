"""Multimetric index: several metrics of one catch, each scored against the reference visits, in one number.

The network makes it for one watershed and some months from its own reference sites, and it is frozen then. It
says how like the reference a catch is, not what changed the stretch: for that, look at the metrics.

Reference
---------
Barbour, M.T., Gerritsen, J., Snyder, B.D. & Stribling, J.B. 1999. Rapid Bioassessment Protocols for Use in
Streams and Wadeable Rivers, 2nd ed., EPA 841-B-99-002, section 9.1.1, steps 4 and 5 (seen): the scores of the
metrics are summed; percentages are averaged here, so that the index stays on 100 points.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from service.science.catch import Catch
from service.science.scores.banding import band_of, round_half_up
from service.science.scores.effort import reasons_of_effort
from service.science.scores.index import Band, Definition, Score, Standing
from service.science.scores.metric_scoring import FrozenMetric, Scoring, score_metric
from service.science.scores.reference_bands import DECIMALS
from service.science.scores.resampling import DRAWS, Doubt, doubt_of, moved_to
from service.science.scores.scorable import scorable

_FIRM = (Standing.RATED, Standing.PROVISIONAL)


@dataclass(frozen=True, slots=True)
class FrozenIndex:
    """One definition of a multimetric index; nothing in it ever changes. Without ``gear`` any will do."""

    code: str
    number: int
    gear: str | None
    scoring: Scoring
    metrics: tuple[FrozenMetric, ...]
    bands: tuple[Band, ...]

    @property
    def definition(self) -> Definition:
        """The index as the rounding and the bands read it."""
        return Definition(self.code, self.number, DECIMALS[self.scoring], self.bands)


def combine(metrics: Sequence[FrozenMetric], values: Sequence[NDArray[np.float64]]) -> NDArray[np.float64]:
    """Return the index from the values of its metrics, not rounded.

    Parameters
    ----------
    metrics : sequence of FrozenMetric
        Metrics of one scoring.
    values : sequence of array
        For each metric its values [unit of the metric], in the same catches.

    Returns
    -------
    array
        For each catch the sum of the scores 1, 3 and 5, or the mean of the scores 0 to 100.
    """
    scores = np.array(
        [score_metric(metric, of_metric) for metric, of_metric in zip(metrics, values, strict=True)]
    )
    if metrics[0].scoring is Scoring.CONTINUOUS:
        return np.asarray(scores.mean(axis=0))
    return np.asarray(scores.sum(axis=0))


def score_multimetric(
    catch: Catch, scores: Sequence[Score], frozen: FrozenIndex, definitions: Mapping[str, Definition]
) -> Score:
    """Return the index of a catch from the scores of the same catch by the other indices.

    Its standing is the worst of its metrics'. The range comes from the draws that the metrics share: each
    draw is one other catch, scored by all of them, and each metric's draws are moved to its value, as those
    of its own range are. A metric without draws stays where it is, and it is said. A single order in the
    catch withholds the rating word, as it does of the metrics.

    Parameters
    ----------
    catch : Catch
        The net sample.
    scores : sequence of Score
        Its scores, among them those of the metrics.
    frozen : FrozenIndex
        The index.
    definitions : mapping of str to Definition
        The definitions of the metrics, by their ids.

    Returns
    -------
    Score
        Value [points] from 1 to 5 for each metric together, or 0 to 100.

    Reference
    ---------
    Barbour et al. 1999, section 9.1.1, as in the heading of this module.
    """
    by_index = {score.index: score for score in scores}
    if hindered := _other_gear(catch, frozen) or _missing_metrics(by_index, frozen):
        return Score(frozen.code, frozen.number, None, None, Standing.MISSING, reasons=hindered)
    found = [by_index[metric.index] for metric in frozen.metrics]
    standing = max((score.standing for score in found), key=list(Standing).index)
    reasons = _reasons(catch, found)
    worths = [np.array([score.value]) for score in found if score.value is not None]
    if len(worths) < len(found):
        return Score(frozen.code, frozen.number, None, None, standing, reasons=reasons)
    value = round_half_up(Decimal(f"{combine(frozen.metrics, worths)[0]:.9f}"), DECIMALS[frozen.scoring])
    doubt = _doubt(found, frozen)
    may_rate = standing in _FIRM and _shows_the_community(catch, frozen, definitions)
    return Score(
        index=frozen.code,
        definition=frozen.number,
        value=float(value),
        band=band_of(value, frozen.bands) if may_rate else None,
        standing=standing,
        low=doubt.low,
        high=doubt.high,
        bands=doubt.bands if may_rate else {},
        reasons=(*reasons, *doubt.reasons),
    )


def _reasons(catch: Catch, scores: Sequence[Score]) -> tuple[str, ...]:
    """Return, each once, what hinders the metrics from a firm score, and how the catch compares at all."""
    doubted = (score.reasons for score in scores if score.standing is not Standing.RATED)
    return tuple(
        dict.fromkeys((*(reason for reasons in doubted for reason in reasons), *reasons_of_effort(catch)))
    )


def _other_gear(catch: Catch, frozen: FrozenIndex) -> tuple[str, ...]:
    if frozen.gear is None or catch.gear == frozen.gear:
        return ()
    used = "no gear was noted" if catch.gear is None else f"this one was made with {catch.gear}"
    return (f"for catches with {frozen.gear} only; {used}",)


def _missing_metrics(by_index: Mapping[str, Score], frozen: FrozenIndex) -> tuple[str, ...]:
    """Return for each metric that cannot enter the index why it cannot."""
    reasons = []
    for metric in frozen.metrics:
        score = by_index.get(metric.index)
        if score is None or score.standing is Standing.MISSING:
            why = "; ".join(score.reasons) if score is not None else "not offered any more"
            reasons.append(f"{metric.index} is missing: {why}")
        elif score.definition != metric.definition:
            reasons.append(
                f"{metric.index} is scored by definition {score.definition} now and was by "
                f"{metric.definition} in the reference visits: the coordinator makes this index anew"
            )
    return tuple(reasons)


def _shows_the_community(catch: Catch, frozen: FrozenIndex, definitions: Mapping[str, Definition]) -> bool:
    """Tell whether the catch has the orders that its metrics want before they give a rating word."""
    orders = {line.taxon.order for line in scorable(catch)}
    wanted = [definitions[metric.index].constants.get("orders_wanted", 0) for metric in frozen.metrics]
    return len(orders) >= max(wanted)


def _about_its_value(score: Score) -> NDArray[np.float64]:
    """Return the draws of a metric, moved to its value; a metric without draws stays where it is."""
    assert score.value is not None
    return np.full(DRAWS, score.value) if score.draws is None else moved_to(score.value, score.draws())


def _doubt(scores: Sequence[Score], frozen: FrozenIndex) -> Doubt:
    if any(score.standing is Standing.EMPTY for score in scores):
        return Doubt()
    held = [score.index for score in scores if score.draws is None]
    if len(held) == len(scores):
        return Doubt(reasons=("no range: none of its metrics has one",))
    values = [_about_its_value(score) for score in scores]
    doubt = doubt_of(combine(frozen.metrics, values), frozen.definition)
    reasons = (f"the range does not hold the doubt of {', '.join(held)}",) if held else ()
    return Doubt(doubt.low, doubt.high, doubt.bands, reasons)
