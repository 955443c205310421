"""Which share of the values that a stream should keep was met at one visit.

One test for each criterion, with the first reading of its parameter that is not in doubt. A criterion is a
mean or a lowest value over a time, so one visit shows where a value was not met and never whether the
criterion is kept.

Reference
---------
Canadian Council of Ministers of the Environment 2001, CCME Water Quality Index 1.0, technical report: a
missing value is no test (from memory). That a value equal to its limit meets it follows from "at least" and
"at most". The rules for censored readings, the share as a score and its bands are our own.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

import numpy as np

from service.science.criterion import Criterion
from service.science.criterion_comparison import FORMULA_NEEDS, Comparison, compare, met_in_draws
from service.science.qa.wording import parameter_words
from service.science.scores.banding import band_of, round_half_up
from service.science.scores.criterion_words import (
    asked_words,
    left_out_words,
    not_met_words,
    not_told_words,
)
from service.science.scores.index import Definition, Measured, ReadingIndex, Score, Standing
from service.science.scores.reading_doubt import (
    doubt_of_kits,
    drawing,
    first_usable,
    reasons_of_doubt,
    says_its_doubt,
    those_in_doubt,
)
from service.science.scores.resampling import DRAWS, Doubt
from service.science.types import Reading

# What fish bear of these differs between cold and warm water, so that no value is for every stream.
OF_A_WATER_CLASS = ("dissolved_oxygen", "water_temperature", "ammonia")
ONE_VISIT = "one visit cannot tell whether a criterion is kept: it is a mean or a lowest value over a time"


@dataclass(frozen=True, slots=True)
class _Tests:
    """The comparisons that could be decided, and why others could not be made."""

    decided: tuple[Comparison, ...]
    left_out: tuple[str, ...]

    @property
    def readings(self) -> tuple[Reading, ...]:
        """Every reading that entered a comparison, once."""
        used = (reading for test in self.decided for reading in (test.reading, *test.beside))
        return tuple({reading.position: reading for reading in used}.values())


def criteria_met(measured: Measured, definition: Definition, seed: int) -> Score | None:
    """Return the share of the criteria of a site whose values one visit met.

    Parameters
    ----------
    measured : Measured
        Readings that have not failed, and the criteria of the site on the day.
    definition : Definition
        Decimals and bands.
    seed : int
        Seed of the draws.

    Returns
    -------
    Score or None
        Value [% of the criteria that could be decided]; ``None`` where nothing was read that has a criterion.
        Provisional where a reading is in doubt, or where the interval of a kit reaches across a limit.
    """
    tests = _compare_all(measured)
    if not tests.decided and not tests.left_out:
        return None
    if not tests.decided:
        return Score(
            definition.index,
            definition.number,
            None,
            None,
            Standing.MISSING,
            reasons=tests.left_out,
            inputs=(),
        )
    met = sum(test.meets is True for test in tests.decided)
    value = round_half_up(Decimal(100 * met) / len(tests.decided), definition.decimals)
    doubt = _doubt_of(tests.decided, definition, seed)
    doubted = those_in_doubt(measured, tests.readings)
    firm = not doubted and all(test.certain for test in tests.decided)
    return Score(
        index=definition.index,
        definition=definition.number,
        value=float(value),
        band=band_of(value, definition.bands),
        standing=Standing.RATED if firm else Standing.PROVISIONAL,
        low=doubt.low,
        high=doubt.high,
        bands=doubt.bands,
        reasons=tuple(_reasons(tests, doubted, all_met=met == len(tests.decided))),
        inputs=tuple(f"{test.criterion.code}: {asked_words(test)}" for test in tests.decided),
    )


def _compare_all(measured: Measured) -> _Tests:
    decided: list[Comparison] = []
    left_out: list[str] = []
    for criterion in measured.criteria:
        reading = first_usable(measured, criterion.parameter)
        if reading is None:
            continue
        found = _compare_one(measured, criterion, reading)
        if isinstance(found, str):
            left_out.append(found)
        elif found.meets is None:
            left_out.append(left_out_words(found))
        else:
            decided.append(found)
    return _Tests(tuple(decided), (*left_out, *_without_class(measured)))


def _compare_one(measured: Measured, criterion: Criterion, reading: Reading) -> Comparison | str:
    """Return the comparison, or why there is none."""
    if criterion.formula is None:
        return compare(criterion, reading)
    beside = tuple(first_usable(measured, parameter) for parameter in FORMULA_NEEDS)
    numbers = tuple(found for found in beside if found is not None and found.censored is None)
    if len(numbers) < len(beside):
        needed = " and ".join(parameter_words(parameter) for parameter in FORMULA_NEEDS)
        return f"{parameter_words(criterion.parameter)}: left out, as its criterion needs {needed} as numbers"
    try:
        return compare(criterion, reading, numbers)
    except ValueError as outside:
        return f"{parameter_words(criterion.parameter)}: left out, as {outside}"


def _without_class(measured: Measured) -> Iterator[str]:
    """Say which readings have no criterion because nobody said what kind of water the site has."""
    if measured.visit.site.water_class is not None:
        return
    compared = {criterion.parameter for criterion in measured.criteria}
    lacking = [
        parameter_words(parameter)
        for parameter in OF_A_WATER_CLASS
        if parameter not in compared and measured.visit.first(parameter) is not None
    ]
    if lacking:
        yield (
            f"{', '.join(lacking)}: left out, as the site's water class is not known; ask your coordinator"
            " to enter cold or warm"
        )


def _doubt_of(tests: Sequence[Comparison], definition: Definition, seed: int) -> Doubt:
    if not all(says_its_doubt(reading) for test in tests for reading in (test.reading, *test.beside)):
        return Doubt()
    drawn = drawing(seed)
    met = np.zeros(DRAWS)
    for test in tests:
        met += float(test.meets is True) if test.certain else met_in_draws(test, drawn)
    return doubt_of_kits(100.0 * met / len(tests), definition)


def _reasons(tests: _Tests, doubted: Iterable[Reading], *, all_met: bool) -> Iterator[str]:
    yield from (not_met_words(test) for test in tests.decided if test.meets is False)
    yield from (not_told_words(test) for test in tests.decided if test.meets is True and not test.certain)
    yield from tests.left_out
    yield from reasons_of_doubt(doubted, tests.readings)
    if not all_met:
        yield ONE_VISIT


INDEX = ReadingIndex("criteria-met", criteria_met)
