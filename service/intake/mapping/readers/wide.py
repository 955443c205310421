"""Reads a column of one parameter, of a sheet that has a column for each."""

from collections.abc import Sequence

from service.intake.mapping.bodies.file import FileBody
from service.intake.mapping.bodies.readings import ReadingColumn, WrittenUnit
from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.part import Sent
from service.intake.mapping.readers.head import Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.readers.value import ValueReader
from service.intake.mapping.written.words import plain_word, word_of
from service.intake.sheets.cell import Value
from service.reference.load import load_catalogue


class WideReader:
    """Reads the readings of one column."""

    def __init__(self, column: ReadingColumn, head: Head, file: FileBody) -> None:
        self._column = column
        self._value = ValueReader(head.find(column.column), column, head, file)
        self._unit = UnitReader(column.parameter, column.unit_column, head) if column.unit_column else None

    def read(self, row: OpenRow) -> Sequence[Sent]:
        """Return the reading of the row, if it has one; what is refused is noted in the row."""
        unit = self._column.unit
        if self._unit is not None and not row.is_missing(self._value.bound):
            unit = self._unit.read(row)
        sent = self._value.read(row, self._column, unit)
        return () if sent is None else (sent,)


class UnitReader:
    """Reads the unit of a reading where a column says it."""

    def __init__(self, parameter: str, written: WrittenUnit, head: Head) -> None:
        self._bound = head.find(written.column)
        units = load_catalogue().parameters[parameter].units
        self._accepted = " or ".join(units)
        self._known = {plain_word(unit): unit for unit in units}
        self._known |= {plain_word(word): unit for word, unit in written.values.items()}

    def read(self, row: OpenRow) -> str | None:
        """Return the accepted unit; ``None`` where it is missing or not known, which is noted in the row."""
        if row.is_missing(self._bound):
            row.refuse(self._bound, f"gives no unit; write {self._accepted}")
        return row.take(self._bound, self._unit)

    def _unit(self, value: Value) -> str:
        unit = self._known.get(plain_word(word_of(value)))
        if unit is None:
            raise Refused(f"is no unit that this reading is given in; write {self._accepted}")
        return unit
