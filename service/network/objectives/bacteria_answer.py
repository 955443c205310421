"""From the samples of some dates to their means, their shares, and what they say beside the criteria."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from service.network.objectives.bacteria_schemas import MeanAnswer, ModelAnswer, ShareAnswer, StatementAnswer
from service.network.objectives.bacteria_words import mean_words, share_words, statement_words
from service.network.objectives.visit_values import VisitValue
from service.science.bacteria import (
    Count,
    geometric_mean_at_limits,
    geometric_mean_bounds,
    geometric_mean_model,
    share_above,
)
from service.science.bathing_criteria import CRITERIA, compare
from service.science.censored_median import Interval
from service.science.types import Censoring

NOTHING_KNOWN: Interval = (0.0, math.inf)
SHOWN_DECIMALS = 4


@dataclass(frozen=True, slots=True)
class Sample:
    """A visit's E. coli [per 100 mL]: the count, what it says and what the kit's steps leave open.

    ``count`` is ``None`` for a 0 of an unknown kit, which is below nobody knows what.
    """

    count: Count | None
    says: Interval
    may_be: Interval


def sample_of(value: VisitValue) -> Sample:
    """Return a value of a visit as a sample."""
    low, high = value.says
    count: Count = (low, None) if value.is_number else (high, Censoring.BELOW)
    if math.isinf(high):
        count = (low, Censoring.ABOVE)
    if count[0] <= 0.0:
        return Sample(None, NOTHING_KNOWN, NOTHING_KNOWN)
    return Sample(count, value.says, value.may_be)


def counts_of(samples: Sequence[Sample], first: date, last: date) -> dict[str, Any]:
    """Return the fields of ``CountsAnswer`` of samples, at least one, and their dates."""
    counts = [sample.count for sample in samples if sample.count is not None]
    return {
        "from_date": first,
        "to_date": last,
        "samples": len(samples),
        "geometric_mean": _mean(samples, counts) if counts else None,
        "model": _model(counts) if counts else None,
        "shares": [
            _share([sample.says for sample in samples], criterion.threshold) for criterion in CRITERIA
        ],
    }


def statements_of(samples: Sequence[Sample]) -> list[StatementAnswer]:
    """Return what the samples of 30 days say beside each pair of values, in the order of the criteria."""
    intervals = [sample.may_be for sample in samples]
    found = ((criterion, compare(intervals, criterion)) for criterion in CRITERIA)
    return [
        StatementAnswer(
            illnesses_per_1000=criterion.illnesses_per_1000,
            geometric_mean_at_most=criterion.geometric_mean,
            threshold=criterion.threshold,
            geometric_mean=statement.geometric_mean,
            share_above=statement.share_above,
            together=statement.together,
            text=statement_words(criterion, statement, len(samples)),
        )
        for criterion, statement in found
    ]


def _mean(samples: Sequence[Sample], counts: Sequence[Count]) -> MeanAnswer:
    mean = geometric_mean_at_limits(counts)
    low, high = geometric_mean_bounds([sample.may_be for sample in samples if sample.count is not None])
    return MeanAnswer(
        value=round(mean.value, SHOWN_DECIMALS),
        mark=mean.mark,
        low=round(low, SHOWN_DECIMALS),
        high=None if math.isinf(high) else round(high, SHOWN_DECIMALS),
        text=mean_words(mean),
    )


def _model(counts: Sequence[Count]) -> ModelAnswer | None:
    fit = geometric_mean_model(counts)
    if fit is None:
        return None
    return ModelAnswer(
        value=round(fit.value, SHOWN_DECIMALS),
        log_mean=round(fit.log_mean, SHOWN_DECIMALS),
        log_sd=round(fit.log_sd, SHOWN_DECIMALS),
    )


def _share(said: Sequence[Interval], threshold: float) -> ShareAnswer:
    share = share_above(said, threshold)
    return ShareAnswer(
        above=threshold,
        at_least=share.at_least,
        at_most=share.at_most,
        percent_at_least=round(share.percent_at_least, 1),
        percent_at_most=round(share.percent_at_most, 1),
        text=share_words(share, threshold),
    )
