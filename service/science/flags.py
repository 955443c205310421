"""The five primary flags every check answers with, and how several roll up to one.

Reference
---------
IODE Manuals and Guides 54, volume 3 (2013), primary level, as held in the NERC Vocabulary Server,
collection L34; used by the U.S. IOOS QARTOD manuals. An older QARTOD list numbers them nearly the other
way round, so the name of the scheme travels with every published flag.
"""

from collections.abc import Iterable
from enum import IntEnum

SCHEME = "IODE/QARTOD primary flags (IODE MG 54 vol. 3, 2013)"


class Flag(IntEnum):
    """One primary flag."""

    PASS = 1
    NOT_EVALUATED = 2
    SUSPECT = 3
    FAIL = 4
    MISSING = 9


DOUBTED = (Flag.SUSPECT, Flag.FAIL)
WORST_FIRST = (Flag.FAIL, Flag.SUSPECT, Flag.PASS, Flag.NOT_EVALUATED, Flag.MISSING)


def roll_up(flags: Iterable[Flag]) -> Flag:
    """Return the one flag that stands for several: the worst wins, and a pass outranks "not evaluated".

    Nothing at all rolls up to ``NOT_EVALUATED``: no check ran.
    """
    found = set(flags)
    return next((flag for flag in WORST_FIRST if flag in found), Flag.NOT_EVALUATED)
