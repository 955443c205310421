"""What a check is: one small pure function, named, numbered and given its place in the order of checks.

It answers ``None`` where it does not concern the reading or the visit (ice, when there was none), and "not
evaluated" only where the class could have given what is missing, so that an answer is not buried in twos.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from enum import IntEnum

from service.science.types import Finding, Reading, Visit

Limits = Mapping[str, float]


class Stage(IntEnum):
    """The order in which checks run; a value failed in one stage is not shown to the next."""

    SCALE = 1
    CONTRADICTION = 2
    CONSISTENCY = 3
    STATISTICS = 4


@dataclass(frozen=True, slots=True)
class ReadingCheck:
    """A check of one reading. ``parameters`` empty means every parameter.

    ``needs`` are the names of the limits that its rows in the reference data must provide. A blank is clean
    water, so only checks ``for_blanks`` make sense of it.
    """

    id: str
    version: int
    stage: Stage
    run: Callable[[Reading, Visit, Limits], Finding | None]
    needs: tuple[str, ...] = ()
    parameters: frozenset[str] = frozenset()
    for_blanks: bool = False


@dataclass(frozen=True, slots=True)
class VisitCheck:
    """A check of the visit as a whole: its time, its place, or with ``of_catch`` its catch.

    A catch that fails is not scored, one that is suspect is scored as provisional.
    """

    id: str
    version: int
    stage: Stage
    run: Callable[[Visit, Limits], Finding | None]
    needs: tuple[str, ...] = ()
    of_catch: bool = False
    for_blanks: bool = False


Check = ReadingCheck | VisitCheck
