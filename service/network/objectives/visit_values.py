"""What each visit says of each parameter: its one reading, or the median of several, which counts once."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from uuid import UUID

from sqlalchemy import RowMapping

from service.science.censored_median import Interval, median_interval
from service.science.types import Censoring


@dataclass(frozen=True, slots=True)
class VisitValue:
    """One parameter of one visit, in its unit of storage.

    ``says`` is twice the number, or from the open side of a limit to the limit; ``may_be`` is the kit's
    interval. ``kits`` are the kits of the ``readings`` that were made one.
    """

    site: str
    visit_id: UUID
    on: date
    parameter: str
    says: Interval
    may_be: Interval
    kits: tuple[str, ...]
    readings: int

    @property
    def is_number(self) -> bool:
        """Whether a number is known and not only a limit."""
        return self.says[0] == self.says[1]


def values_of_visits(rows: Iterable[RowMapping]) -> list[VisitValue]:
    """Return one value for each visit and parameter, in the order of the rows.

    Of several readings of a visit the median counts; between a number and a limit it may itself be a limit.
    """
    return [
        value
        for _, of_visit in groupby(rows, key=lambda row: row["visit_id"])
        for value in _values(list(of_visit))
    ]


def _values(rows: Sequence[RowMapping]) -> Iterable[VisitValue]:
    for parameter in dict.fromkeys(row["parameter"] for row in rows):
        readings = [row for row in rows if row["parameter"] == parameter]
        first = readings[0]
        yield VisitValue(
            site=first["site"],
            visit_id=first["visit_id"],
            on=first["observed_on"],
            parameter=parameter,
            says=median_interval(map(_says, readings)),
            may_be=median_interval(map(_may_be, readings)),
            kits=tuple(sorted({row["kit"] for row in readings if row["kit"]})),
            readings=len(readings),
        )


def _says(row: RowMapping) -> Interval:
    low, high = _may_be(row)
    if row["censored"] is Censoring.BELOW:
        return low, row["value"]
    if row["censored"] is Censoring.ABOVE:
        return row["value"], high
    return row["value"], row["value"]


def _may_be(row: RowMapping) -> Interval:
    low, high = row["low"], row["high"]
    return (-math.inf if low is None else low), (math.inf if high is None else high)
