"""The CCME water quality index: how many variables and tests missed their objectives, and by how much.

It is of one site over a period, never of one visit. Numbers of different variables, objectives or periods
must not be set against one another, so each carries a key of what it was made of.

Reference
---------
Canadian Council of Ministers of the Environment 2001, Canadian water quality guidelines for the protection of
aquatic life: CCME Water Quality Index 1.0, technical report and user's manual (formula and minimum data seen
in a later paper).
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from hashlib import sha256

import numpy as np
from numpy.typing import NDArray

from service.science.ccme_judgement import Judgement, Observation, Outcome, excursions, judge
from service.science.criterion import Criterion
from service.science.scores.banding import band_of, round_half_up, shares_of_bands
from service.science.scores.index import Definition, SiteIndex, Standing
from service.science.scores.resampling import CENTRAL_SHARE, DRAWS

NEEDS = ("variables_wanted", "samples_wanted")
INDEX = SiteIndex("ccme", NEEDS)
DIVISOR = 1.732  # not quite the root of 3; kept so that results agree with published ones
KEY_DIGITS = 12


@dataclass(frozen=True, slots=True)
class Variable:
    """A parameter with its objective, and what was measured of it in the period."""

    objective: Criterion
    observations: tuple[Observation, ...]


@dataclass(frozen=True, slots=True)
class Tested:
    """A variable with what came of each observation; one that was ``left_out`` is not in the index."""

    variable: Variable
    judgements: tuple[Judgement, ...]
    left_out: bool = False

    @property
    def failed(self) -> int:
        """How many tests failed."""
        return sum(judgement.outcome is Outcome.FAILED for judgement in self.judgements)

    @property
    def undecided(self) -> int:
        """How many values lie beyond a limit that does not decide; they are no tests."""
        return sum(judgement.outcome is Outcome.UNDECIDED for judgement in self.judgements)

    @property
    def tests(self) -> int:
        """How many tests there were."""
        return len(self.judgements) - self.undecided

    @property
    def excursions(self) -> float:
        """Sum of the excursions [-]."""
        return sum(judgement.excursion for judgement in self.judgements)


@dataclass(frozen=True, slots=True)
class CcmeIndex:
    """The index of one site and period, 0 worst to 100 best, with what it was made of.

    ``value`` keeps its decimals, ``band`` is of the value rounded half up. ``f1``, ``f2`` and ``f3`` are
    scope, frequency and amplitude [0 to 100], ``nse`` the normalised sum of excursions [-]. ``at_most`` tells
    that some excursions are larger by an unknown amount, so that the value is the best it can be;
    ``half_steps`` counts the zeros that half a step stood in for. ``low`` and ``high``: the central 90 %.
    """

    definition: int
    standing: Standing
    comparable_with: str
    tested: tuple[Tested, ...]
    value: float | None = None
    band: str | None = None
    f1: float | None = None
    f2: float | None = None
    f3: float | None = None
    nse: float | None = None
    low: float | None = None
    high: float | None = None
    bands: Mapping[str, float] = field(default_factory=dict)
    at_most: bool = False
    half_steps: int = 0

    @property
    def used(self) -> tuple[Tested, ...]:
        """The variables that the index was made of."""
        return tuple(one for one in self.tested if not one.left_out)


def ccme_index(variables: Sequence[Variable], period: str, definition: Definition, seed: int) -> CcmeIndex:
    """Return the index of a site over a period.

    Parameters
    ----------
    variables : sequence of Variable
        One for each parameter that has an objective; its observations may be none.
    period : str
        The period in words, the same for all sites that are to be compared.
    definition : Definition
        Bands, and how many variables (``variables_wanted``) must have how many tests (``samples_wanted``).
    seed : int
        Seed of the draws, 0 or more, taken from site and period: the same data always get the same numbers.

    Returns
    -------
    CcmeIndex
        When enough variables have enough tests, the index of those, and the others are left out. When not,
        the index of all that were tested, without a class: ``too_few``. Without any test ``missing``.

    Notes
    -----
    A value that is missing is no test. Doubt: every number is drawn anew within its kit's interval; limits
    and what lies beyond them stay as they are, and so do the limits of a formula.

    Reference
    ---------
    CCME 2001, as in the heading of this module.
    """
    tested, enough = _tested(variables, definition)
    made_of = [one for one in tested if not one.left_out]
    key = _key(made_of, period, definition)
    if not made_of:
        return CcmeIndex(definition.number, Standing.MISSING, key, tested)
    columns = _columns(made_of)
    factors = _factors(*_as_judged(columns), columns)
    f1, f2, f3, nse, value = (float(each[0]) for each in factors)
    rounded = round_half_up(Decimal(f"{value:.9f}"), definition.decimals)
    drawn = _drawn(columns, seed)
    tail = (1.0 - CENTRAL_SHARE) / 2.0
    at_most = any(judgement.at_least for *_, judgement in columns)
    firm = not at_most and not any(one.left_out or one.undecided for one in tested)
    return CcmeIndex(
        definition=definition.number,
        standing=Standing.TOO_FEW if not enough else Standing.RATED if firm else Standing.PROVISIONAL,
        comparable_with=key,
        tested=tested,
        value=value,
        band=band_of(rounded, definition.bands) if enough else None,
        f1=f1,
        f2=f2,
        f3=f3,
        nse=nse,
        low=float(np.quantile(drawn, tail)),
        high=float(np.quantile(drawn, 1.0 - tail)),
        bands=shares_of_bands(drawn, definition.bands, definition.decimals) if enough else {},
        at_most=at_most,
        half_steps=sum(judgement.half_step for *_, judgement in columns),
    )


# Every test with the place of its variable.
Columns = Sequence[tuple[int, Observation, Judgement]]


def _tested(variables: Sequence[Variable], definition: Definition) -> tuple[tuple[Tested, ...], bool]:
    """Leave out what was tested too seldom if enough variables stay, else only what was never tested."""
    tested = [Tested(one, tuple(judge(each) for each in one.observations)) for one in variables]
    wanted, samples = (int(definition.constants[name]) for name in NEEDS)
    enough = sum(one.tests >= samples for one in tested) >= wanted
    fewest = samples if enough else 1
    return tuple(replace(one, left_out=one.tests < fewest) for one in tested), enough


def _columns(made_of: Sequence[Tested]) -> Columns:
    return [
        (place, observation, judgement)
        for place, one in enumerate(made_of)
        for observation, judgement in zip(one.variable.observations, one.judgements, strict=True)
        if judgement.outcome is not Outcome.UNDECIDED
    ]


def _as_judged(columns: Columns) -> tuple[NDArray[np.bool_], NDArray[np.float64]]:
    """Return in one row which tests failed, and their excursions."""
    failed = [judgement.outcome is Outcome.FAILED for *_, judgement in columns]
    return np.array([failed]), np.array([[judgement.excursion for *_, judgement in columns]])


def _factors(
    failed: NDArray[np.bool_], amounts: NDArray[np.float64], columns: Columns
) -> tuple[NDArray[np.float64], ...]:
    """Return F1, F2, F3, nse and the index, one for each row of tests."""
    places = np.array([place for place, *_ in columns])
    variables = [failed[:, places == place].any(axis=1) for place in np.unique(places)]
    f1 = 100.0 * np.mean(variables, axis=0)
    f2 = 100.0 * failed.mean(axis=1)
    nse = amounts.mean(axis=1)
    f3 = nse / (0.01 * nse + 0.01)
    return f1, f2, f3, nse, np.clip(100.0 - np.sqrt(f1**2 + f2**2 + f3**2) / DIVISOR, 0.0, 100.0)


def _drawn(columns: Columns, seed: int) -> NDArray[np.float64]:
    """Return the index of each draw: numbers within their kit's interval, limits as they were judged."""
    observations = [observation for _, observation, _ in columns]
    numbers = np.array([each.is_number for each in observations])
    low, high = np.array([each.may_be if each.is_number else (1.0, 1.0) for each in observations]).T
    values = np.random.default_rng(seed).uniform(low, high, size=(DRAWS, len(observations)))
    failed, amounts = excursions(values, observations)
    failed_as_judged, amounts_as_judged = _as_judged(columns)
    failed = np.where(numbers, failed, failed_as_judged)
    return _factors(failed, np.where(numbers, amounts, amounts_as_judged), columns)[-1]


def _key(made_of: Sequence[Tested], period: str, definition: Definition) -> str:
    """Return what is the same for sites that may be ranked: variables, objectives, period, definition."""
    objectives = sorted(
        (one.parameter, str(one.at_least), str(one.at_most), one.formula or "")
        for one in (tested.variable.objective for tested in made_of)
    )
    content = repr((definition.index, definition.number, period, objectives))
    return sha256(content.encode()).hexdigest()[:KEY_DIGITS]
