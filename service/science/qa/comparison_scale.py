"""The scale on which readings of one site are compared: marks of a kit, logarithm, or plain value."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from service.science.qa.robust_reference import Point
from service.science.types import Censoring


def level_position(value: float, marks: Sequence[float]) -> float:
    """Return the place of a value in an ascending list of marks: 0 on the first, 1.5 half-way further on."""
    return float(np.interp(value, marks, range(len(marks))))


@dataclass(frozen=True, slots=True)
class Scale:
    """``level`` (place among the kit's marks, so that uneven steps count alike), ``log10`` or ``value``.

    ``floor`` is the smallest believable spread on the scale. ``marks`` are in the unit of storage.
    """

    name: str
    floor: float
    marks: tuple[float, ...] = ()

    def points(self, values: Iterable[tuple[float, Censoring | None]]) -> list[Point]:
        """Place values [unit of storage] on the scale.

        A logarithm has no 0: there a 0 is "less than" the smallest number above 0 among the values. When all
        are 0, ``ValueError``.
        """
        listed = list(values)
        if self.name == "level":
            places = np.interp([value for value, _ in listed], self.marks, range(len(self.marks))).tolist()
            return [Point(place, censored) for place, (_, censored) in zip(places, listed, strict=True)]
        if self.name == "value":
            return [Point(value, censored) for value, censored in listed]
        above_zero = [value for value, _ in listed if value > 0]
        if not above_zero:
            raise ValueError("no value above 0 on a scale of logarithms")
        smallest = Point(math.log10(min(above_zero)), Censoring.BELOW)
        return [Point(math.log10(value), censored) if value > 0 else smallest for value, censored in listed]

    def back(self, place: float) -> float:
        """Return the value [unit of storage] that stands at a place on the scale."""
        if self.name == "level":
            return float(np.interp(place, range(len(self.marks)), self.marks))
        return float(10**place) if self.name == "log10" else place
