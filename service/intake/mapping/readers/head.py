"""The head row of a sheet: from the columns that a mapping names to places in each row."""

from dataclasses import dataclass

from service.intake.mapping.cell_problem import quoted
from service.intake.mapping.written.words import NearWords, plain_word
from service.intake.sheets.cell import Row, Unreadable

MOST_LISTED = 12


@dataclass(frozen=True, slots=True)
class Bound:
    """A column that was found: its place in a row, from 0, and how a report names it."""

    index: int
    label: str


class Head:
    """The columns of one sheet. A name that is not there is noted; `require_all` then says so at once."""

    def __init__(self, row: Row) -> None:
        self.names = [cell.text for cell in row.cells]
        self._lacking: list[str] = []

    def find(self, column: str | int) -> Bound:
        """Return where a column is, by its name (capitals and blanks aside) or by its number from 1."""
        places = self._places(column)
        if len(places) != 1:
            self._lacking.append(self._what_is_wrong(column, places))
            return Bound(0, "")
        return Bound(places[0], self.label(places[0]))

    def label(self, index: int) -> str:
        """Return a column's name with the letter that a spreadsheet shows above it."""
        name = quoted(self.names[index]) if index < len(self.names) else ""
        return f"{name} (column {letters(index)})" if name else f"column {letters(index)}"

    def require_all(self) -> None:
        """Refuse the sheet when a column was not there, naming all of them.

        Raises
        ------
        Unreadable
            With the columns that are lacking and those that the sheet has.
        """
        if self._lacking:
            named = [f'"{quoted(name)}"' for name in self.names if name]
            more = f" and {len(named) - MOST_LISTED} more" if len(named) > MOST_LISTED else ""
            there = f"The sheet's head row names {', '.join(named[:MOST_LISTED])}{more}."
            raise Unreadable(" ".join([*dict.fromkeys(self._lacking), there if named else ""]).strip())

    def _places(self, column: str | int) -> list[int]:
        if isinstance(column, int):
            return [column - 1] if column <= len(self.names) else []
        exact = [place for place, name in enumerate(self.names) if name == column.strip()]
        if exact:
            return exact
        return [place for place, name in enumerate(self.names) if plain_word(name) == plain_word(column)]

    def _what_is_wrong(self, column: str | int, places: list[int]) -> str:
        if isinstance(column, int):
            return f"The mapping names column {column}, but the sheet has {len(self.names)} columns."
        if places:
            numbers = " and ".join(str(place + 1) for place in places)
            return f'"{quoted(column)}" stands above columns {numbers}; name the one meant by its number.'
        near = NearWords(name for name in self.names if name).did_you_mean(column)
        return f'The sheet has no column "{quoted(column)}"{near or "."}'


def letters(index: int) -> str:
    """Return the letters that a spreadsheet shows above a column: 0 is A, 26 is AA."""
    shown = ""
    index += 1
    while index:
        index, rest = divmod(index - 1, 26)
        shown = chr(ord("A") + rest) + shown
    return shown
