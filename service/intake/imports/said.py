"""What is said of a row: what is wrong with it, what else is to be known, and what to do."""

import json
from collections.abc import Sequence
from dataclasses import asdict, dataclass

from service.intake.mapping.cell_problem import CellProblem


@dataclass(frozen=True, slots=True)
class Said:
    """The words of one row."""

    problems: Sequence[CellProblem] = ()
    remarks: Sequence[CellProblem] = ()
    advice: str = ""

    def as_json(self) -> str:
        """Return it as text for the shelf."""
        return json.dumps(asdict(self))


def said_from(text: str) -> Said:
    """Return what was said, from the text of the shelf; nothing where there is none."""
    if not text:
        return Said()
    whole = json.loads(text)
    problems, remarks = ([CellProblem(**one) for one in whole[name]] for name in ("problems", "remarks"))
    return Said(problems, remarks, whole["advice"])


def of_the_row(reason: str) -> CellProblem:
    """Return a problem that concerns no single cell."""
    return CellProblem("", "", reason)
