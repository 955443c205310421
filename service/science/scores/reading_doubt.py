"""The doubt that a kit leaves in a score of the readings, by drawing the true values again and again.

A kit's interval says between which numbers the true value lies and nothing of where, so every number in it is
drawn with the same chance. The middle 90 % of the scores of 1000 draws is what the same water could have
given. It tells of the steps of the kits alone, not of how the class used them.

Reference
---------
JCGM 101:2008, Evaluation of measurement data, Supplement 1 to the GUM, section 6.4.2: a uniform distribution
where only two bounds are known (from memory). The number of draws and the 90 % are our own choice.
"""

from collections.abc import Callable, Iterable, Iterator
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from service.science.qa.wording import parameter_words
from service.science.scores.banding import round_half_up
from service.science.scores.index import Definition, Measured
from service.science.scores.resampling import DRAWS, Doubt, doubt_of
from service.science.types import Reading

Draws = NDArray[np.float64]


def first_usable(measured: Measured, parameter: str) -> Reading | None:
    """Return the reading of a parameter that counts: the first that is not in doubt, else the first."""
    found = [reading for reading in measured.visit.readings if reading.parameter == parameter]
    firm = (reading for reading in found if reading.position not in measured.doubted)
    return next(firm, found[0] if found else None)


def says_its_doubt(reading: Reading) -> bool:
    """Tell whether a reading has an interval; without a kit nobody knows how far off a number may be."""
    return reading.censored is not None or reading.low < reading.high


def drawing(seed: int) -> Callable[[Reading], Draws]:
    """Return what draws the true value of a reading; asked again for a reading it gives the same draws."""
    numbers = np.random.default_rng(seed)
    kept: dict[int, Draws] = {}

    def drawn(reading: Reading) -> Draws:
        if reading.position not in kept:
            kept[reading.position] = numbers.uniform(reading.low, reading.high, DRAWS)
        return kept[reading.position]

    return drawn


def doubt_of_kits(values: Draws, definition: Definition) -> Doubt:
    """Return the central range and the chances of the bands from the scores of the draws."""
    doubt = doubt_of(values, definition)
    return Doubt(doubt.low, doubt.high, doubt.bands)


def rounded(value: float, definition: Definition) -> Decimal:
    """Return a computed score with the decimals of its index, half up."""
    return round_half_up(Decimal(f"{value:.9f}"), definition.decimals)


def those_in_doubt(measured: Measured, readings: Iterable[Reading]) -> tuple[Reading, ...]:
    """Return the readings among these that a check holds suspect and nobody let stand."""
    return tuple(reading for reading in readings if reading.position in measured.doubted)


def reasons_of_doubt(doubted: Iterable[Reading], drawn_from: Iterable[Reading]) -> Iterator[str]:
    """Say which readings are in doubt, and of which nobody knows the interval."""
    for reading in doubted:
        yield f"a check is in doubt about the {parameter_words(reading.parameter)}"
    unknown = [parameter_words(reading.parameter) for reading in drawn_from if not says_its_doubt(reading)]
    if unknown:
        yield f"{', '.join(unknown)}: no kit was named, so nobody can tell how far off the number may be"
