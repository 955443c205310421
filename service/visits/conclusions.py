"""What follows from a visit's readings and catch, as the rows that store it; made as in `compose`."""

import hashlib
import math
from collections.abc import Iterable
from typing import Any

from service.reference.catalogue import Catalogue
from service.science.derived.value import Derived
from service.science.scores.index import Score
from service.visits.score_visit import NetworkRules
from service.visits.tables import VisitDerived, VisitScore

Fields = dict[str, Any]


def finite(number: float) -> float | None:
    """Return a bound as it is stored: an open end is null."""
    return None if math.isinf(number) else number


def derived_rows(part: Fields, derived: Iterable[Derived]) -> list[VisitDerived]:
    """Return the rows of derived values; ``part`` names their visit and revision."""
    return [
        VisitDerived.model_construct(
            **part,
            parameter=value.parameter,
            value=value.value,
            unit=value.unit,
            low=finite(value.low),
            high=finite(value.high),
            censored=value.censored,
            method=value.method,
            assumed=list(value.assumed),
        )
        for value in derived
    ]


def score_rows(part: Fields, scores: Iterable[Score], reference_version: str) -> list[VisitScore]:
    """Return the rows of scores, with the version of the reference data behind them."""
    return [
        VisitScore.model_construct(
            **part,
            index=score.index,
            definition=score.definition,
            value=score.value,
            band=score.band,
            standing=score.standing,
            low=score.low,
            high=score.high,
            bands=dict(score.bands),
            reasons=list(score.reasons),
            inputs=list(score.inputs),
            reference_version=reference_version,
        )
        for score in scores
    ]


def scored_with(catalogue: Catalogue, rules: NetworkRules) -> str:
    """Return what tells the definitions and rules of a visit's scores from any others."""
    return f"{catalogue.version}-{hashlib.sha256(repr(rules).encode()).hexdigest()[:12]}"
