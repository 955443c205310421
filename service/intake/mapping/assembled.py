"""A visit that was put together from rows, and where each piece of it came from."""

from dataclasses import dataclass, field
from typing import Any, NamedTuple

from service.intake.mapping.cell_problem import CellProblem, quoted

SPLIT = "give the rows their own times, or name in the mapping the columns that tell visits apart (apart)"


class Origin(NamedTuple):
    """Where a piece of a body stands in the sheet; ``column`` is empty where it came from no column."""

    row: int
    column: str = ""


class RowProblem(NamedTuple):
    """What is to be said of one row of a visit."""

    row: int
    problem: CellProblem


@dataclass(slots=True)
class Assembled:
    """The body of one visit. With ``problems`` it must not be handed in; ``remarks`` are only said."""

    body: dict[str, Any]
    problems: list[RowProblem] = field(default_factory=list)
    remarks: list[RowProblem] = field(default_factory=list)
    origins: dict[str, Origin] = field(default_factory=dict)

    def origin(self, pointer: str) -> Origin:
        """Return where a pointer into the body (RFC 6901) leads in the sheet."""
        while pointer and pointer not in self.origins:
            pointer = pointer.rpartition("/")[0]
        return self.origins[pointer]

    def refuse(self, origin: Origin, value: str, reason: str) -> None:
        """Note why the visit cannot be handed in."""
        self.problems.append(RowProblem(origin.row, CellProblem(origin.column, quoted(value), reason)))

    def remark(self, origin: Origin, value: str, reason: str) -> None:
        """Note what is to be said of a row, though the visit can be handed in."""
        self.remarks.append(RowProblem(origin.row, CellProblem(origin.column, quoted(value), reason)))
