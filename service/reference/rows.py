"""Typed reading of one data file. Every bad cell is noted with its line and column; none is guessed."""

import csv
import io
from collections.abc import Callable, Collection
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from importlib.resources.abc import Traversable
from typing import TypeVar

from service.reference.errors import Breach

EVIDENCE = frozenset({"seen", "seen-second-hand", "memory", "computed", "common-practice", "own"})
LIST_SEPARATOR = ";"

Entry = TypeVar("Entry")


@dataclass(frozen=True, slots=True)
class Row:
    """One data line. A cell that cannot be read adds to ``breaches`` and gives a value that means nothing."""

    file: str
    line: int
    cells: dict[str, str]
    breaches: list[Breach]

    def breach(self, column: str | None, problem: str) -> Breach:
        """Return a fault of this line, for the caller to collect."""
        return Breach(self.file, self.line, column, problem)

    def text(self, column: str) -> str:
        """Return a cell that must hold something."""
        value = self.cells[column]
        if not value:
            self.breaches.append(self.breach(column, "is empty; fill it in"))
        return value

    def optional_text(self, column: str) -> str:
        """Return a cell that may be empty."""
        return self.cells[column]

    def choice(self, column: str, allowed: Collection[str]) -> str:
        """Return a cell that must be one of the allowed words."""
        value = self.cells[column]
        if value not in allowed:
            self.breaches.append(
                self.breach(column, f"'{value}' is not one of: {', '.join(sorted(allowed))}")
            )
        return value

    def evidence(self) -> str:
        """Return the ``evidence`` cell, one of the marks of the reference data."""
        return self.choice("evidence", EVIDENCE)

    def yes(self, column: str) -> bool:
        """Return whether a yes/no cell says yes."""
        return self.choice(column, {"yes", "no"}) == "yes"

    def optional_decimal(self, column: str) -> Decimal | None:
        """Return an exact number, or ``None`` for an empty cell."""
        value = self.cells[column]
        return self._decimal(column, value) if value else None

    def decimal(self, column: str) -> Decimal:
        """Return an exact number that must be there."""
        return self._decimal(column, self.cells[column])

    def optional_number(self, column: str) -> float | None:
        """Return a number, or ``None`` for an empty cell."""
        value = self.optional_decimal(column)
        return None if value is None else float(value)

    def number(self, column: str) -> float:
        """Return a number that must be there."""
        return float(self.decimal(column))

    def optional_whole(self, column: str, lowest: int = 0) -> int | None:
        """Return a whole number of at least ``lowest``, or ``None`` for an empty cell."""
        value = self.cells[column]
        return self.whole(column, lowest) if value else None

    def whole(self, column: str, lowest: int = 0) -> int:
        """Return a whole number of at least ``lowest`` that must be there."""
        value = self.cells[column]
        if value.isascii() and value.isdigit() and int(value) >= lowest:
            return int(value)
        self.breaches.append(
            self.breach(column, f"'{value}' is not a whole number of {lowest} or more; write digits only")
        )
        return lowest

    def words(self, column: str) -> tuple[str, ...]:
        """Return the parts of a semicolon list, none of them empty; an empty cell gives an empty list."""
        parts = tuple(part.strip() for part in self.cells[column].split(LIST_SEPARATOR))
        if parts == ("",):
            return ()
        if "" in parts:
            self.breaches.append(self.breach(column, "has an empty entry; take out the extra semicolon"))
        return parts

    def numbers(self, column: str) -> tuple[float, ...]:
        """Return the numbers of a semicolon list; an empty cell gives an empty list."""
        return tuple(float(self._decimal(column, word)) for word in self.words(column))

    def _decimal(self, column: str, value: str) -> Decimal:
        try:
            found = Decimal(value)
        except InvalidOperation:
            found = Decimal("nan")
        if not found.is_finite():
            self.breaches.append(
                self.breach(column, f"'{value}' is not a number; write it plainly, such as 8.4")
            )
        return found


@dataclass(frozen=True, slots=True)
class DataFile:
    """A data file: its name, its header line, and the columns that together name a line."""

    name: str
    header: str
    key: tuple[str, ...]


Table = tuple[tuple[Row, Entry], ...]


def read_table(
    folder: Traversable, file: DataFile, make: Callable[[Row], Entry], breaches: list[Breach]
) -> Table[Entry]:
    """Return each line of a data file with the entry made of it; add every fault to ``breaches``.

    Cells are read without blanks at their ends. A file that is missing, is not UTF-8, has another header or
    breaks the CSV rules gives no lines. A key that comes twice is a fault.
    """
    rows = _read_rows(folder, file, breaches)
    first_line: dict[tuple[str, ...], int] = {}
    for row in rows:
        key = tuple(row.cells[column] for column in file.key)
        if key in first_line:
            said = f"{', '.join(key)} is already on line {first_line[key]}; keep one of the two"
            breaches.append(row.breach(file.key[0], said))
        first_line.setdefault(key, row.line)
    return tuple((row, make(row)) for row in rows)


def _read_rows(folder: Traversable, file: DataFile, breaches: list[Breach]) -> list[Row]:
    try:
        text = folder.joinpath(file.name).read_text(encoding="utf-8-sig")
    except (FileNotFoundError, UnicodeDecodeError) as problem:
        breaches.append(Breach(file.name, None, None, f"cannot be read as a UTF-8 file: {problem}"))
        return []
    reader = csv.reader(io.StringIO(text, newline=""), strict=True)
    columns = file.header.split(",")
    rows: list[Row] = []
    try:
        if next(reader, []) != columns:
            breaches.append(Breach(file.name, 1, None, f"the header must be: {file.header}"))
            return []
        for cells in reader:
            if len(cells) != len(columns):
                said = f"has {len(cells)} cells, not {len(columns)}; look for a comma without quotes"
                breaches.append(Breach(file.name, reader.line_num, None, said))
                continue
            named = {column: cell.strip() for column, cell in zip(columns, cells, strict=True)}
            rows.append(Row(file.name, reader.line_num, named, breaches))
    except csv.Error as problem:
        breaches.append(Breach(file.name, reader.line_num, None, f"breaks the CSV rules: {problem}"))
        return []
    return rows
