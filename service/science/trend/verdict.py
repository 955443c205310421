"""From the evidence to one of four words: rising, falling, no trend shown, not enough data."""

from dataclasses import dataclass
from enum import StrEnum, auto

from service.science.trend.evidence import Evidence, Results

LEVEL = 0.05
_NOISE = 1e-9  # of a step: 0.1 x 3 does not exceed a step of 0.3


class Verdict(StrEnum):
    """What may be said of a course of years."""

    RISING = "rising"
    FALLING = "falling"
    NO_TREND_SHOWN = "no trend shown"
    NOT_ENOUGH_DATA = "not enough data"


class Ground(StrEnum):
    """The one thing that decided."""

    TOO_FEW_VALUES = auto()
    CHANCE = auto()
    DEPENDENCE = auto()
    NO_TYPICAL_CHANGE = auto()
    SIZE_UNKNOWN = auto()
    UNDER_ONE_STEP = auto()
    CHANGE = auto()


@dataclass(frozen=True, slots=True)
class Ruling:
    """A verdict and what decided it."""

    verdict: Verdict
    ground: Ground


def decide(found: Evidence) -> Ruling:
    """Return the verdict on some evidence.

    A change is named only where every p that there is lies below :data:`LEVEL`, where the slope is sure to
    have the direction of the test, and where the change over the whole span is sure to exceed one step of the
    coarsest kit, if that is known.

    Parameters
    ----------
    found : Evidence
        As gathered.

    Returns
    -------
    Ruling
    """
    results = found.results
    if results is None:
        return Ruling(Verdict.NOT_ENOUGH_DATA, Ground.TOO_FEW_VALUES)
    ground = _ground(found, results)
    if ground is not Ground.CHANGE:
        return Ruling(Verdict.NO_TREND_SHOWN, ground)
    return Ruling(Verdict.RISING if results.test.s > 0 else Verdict.FALLING, ground)


def exceeds_one_step(found: Evidence) -> bool | None:
    """Return whether the change over the whole span exceeds one step of the kit; ``None``: not known."""
    if found.results is None or found.step is None:
        return None
    step = found.step * (1 + _NOISE)
    least, most = _sizes(found.results)
    if least > step:
        return True
    return False if most <= step else None


def _ground(found: Evidence, results: Results) -> Ground:
    if results.test.p >= LEVEL:
        return Ground.CHANCE
    if results.adjusted is not None and results.adjusted.p >= LEVEL:
        return Ground.DEPENDENCE
    sure = results.change_low if results.test.s > 0 else -results.change_high
    if results.change_low == results.change_high and sure <= 0:
        return Ground.NO_TYPICAL_CHANGE
    if exceeds_one_step(found) is False:
        return Ground.UNDER_ONE_STEP
    if sure <= 0 or (found.step is not None and not exceeds_one_step(found)):
        return Ground.SIZE_UNKNOWN
    return Ground.CHANGE


def _sizes(results: Results) -> tuple[float, float]:
    """Return the least and the greatest size that the change can have."""
    ends = sorted((abs(results.change_low), abs(results.change_high)))
    straddles = results.change_low < 0 < results.change_high
    return (0.0 if straddles else ends[0]), ends[1]
