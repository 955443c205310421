"""Rows that are no visit, whatever the sheet is: its head once more, units below the head, totals."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from service.intake.mapping.written.words import plain_word
from service.intake.propose.cell_kinds import Look, seen
from service.intake.propose.draft import SeenColumn
from service.intake.propose.head_words import plain_head
from service.intake.propose.units import is_unit
from service.intake.sheets.cell import Row

FEWEST_COLUMNS = 3  # below that one cell may be all that a row holds
HEAD_AGAIN = "the row that names the columns, once more"
UNIT_ROW = "the row below the head that names the units"
SUMMED_UP = "a total or an average, not a visit"
SUMS = frozenset(
    {
        "total", "totals", "sum", "average", "averages", "avg", "mean", "median", "min", "max", "minimum",
        "maximum", "range", "stdev", "std dev", "standard deviation", "sd", "count", "summe", "gesamt",
        "mittel", "mittelwert", "durchschnitt", "moyenne", "somme", "promedio", "suma", "media",
    }
)  # fmt: skip
MEASURED_LOOKS = (Look.NUMBER, Look.DECIMAL_COMMA, Look.THOUSANDS, Look.LIMIT)
DATED = (Look.DATE, Look.NAMED_DATE, Look.REAL_DATE)


@dataclass(slots=True)
class SetAside:
    """The rows that may be visits, why each of the others is none with its cells by place, and the units."""

    rows: list[Row] = field(default_factory=list)
    others: list[tuple[str, dict[int, str]]] = field(default_factory=list)
    units: tuple[str, ...] = ()

    def rules(self, columns: Sequence[SeenColumn]) -> list[dict[str, Any]]:
        """Return what a mapping says so that the others are left out."""
        rules: dict[tuple[str, int], dict[str, str]] = {}
        for why, cells in self.others:
            # A rule about a column refuses the rows in which that column cannot be read.
            place = next((one for one in cells if not columns[one].facts.faults), min(cells))
            rules.setdefault((why, place), {}).setdefault(plain_word(cells[place]), cells[place])
        return [
            {"column": columns[place].ref, "but_not": list(words.values()), "why": why}
            for (why, place), words in rules.items()
        ]


def set_aside(head: Row, rows: list[Row]) -> SetAside:
    """Part the rows that may be visits from those that cannot be; one cell alone is a heading or a remark."""
    names = [plain_word(cell.text) for cell in head.cells]
    aside = SetAside()
    for row in rows:
        cells = {place: cell.text for place, cell in enumerate(row.cells) if cell.text or cell.fault}
        if not aside.rows and not aside.units and _names_units(row):
            aside.units = tuple(cell.text for cell in row.cells)
            aside.others.append((UNIT_ROW, cells))
        elif len(cells) == 1 < FEWEST_COLUMNS <= sum(map(bool, names)):
            continue
        elif _repeats(cells, names):
            aside.others.append((HEAD_AGAIN, cells))
        elif cells and _sums_up(row, min(cells)):
            aside.others.append((SUMMED_UP, {min(cells): cells[min(cells)]}))
        else:
            aside.rows.append(row)
    return aside


def _repeats(cells: dict[int, str], names: list[str]) -> bool:
    """Tell whether every cell of a row says what stands above it, and at least two do."""
    return len(cells) > 1 and all(
        place < len(names) and plain_word(text) == names[place] for place, text in cells.items()
    )


def _names_units(row: Row) -> bool:
    looks = {seen(cell.value).look for cell in row.cells}
    return not looks & {*MEASURED_LOOKS, *DATED, Look.CLOCK, Look.REAL_TIME} and any(
        is_unit(cell.text) for cell in row.cells
    )


def _sums_up(row: Row, first: int) -> bool:
    looks = {seen(cell.value).look for cell in row.cells}
    return plain_head(row.cells[first].text) in SUMS and not looks & set(DATED)
