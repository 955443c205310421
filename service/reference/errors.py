"""What is wrong in the reference data, said so that the person who edits the file can put it right."""

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Breach:
    """One fault in one data file. ``line`` and ``column`` are ``None`` where the whole file is meant."""

    file: str
    line: int | None
    column: str | None
    problem: str

    def __str__(self) -> str:
        place = [self.file]
        if self.line is not None:
            place.append(f"line {self.line}")
        if self.column is not None:
            place.append(f"column {self.column}")
        return f"{', '.join(place)}: {self.problem}"


class ReferenceDataError(Exception):
    """The reference data cannot be used. Carries every breach found, not the first one only."""

    def __init__(self, breaches: Sequence[Breach]) -> None:
        self.breaches = tuple(breaches)
        listed = "\n".join(f"  {breach}" for breach in self.breaches)
        super().__init__(f"the reference data has {len(self.breaches)} fault(s):\n{listed}")
