"""A sheet with one reading a row: which words of it are which readings, in which unit."""

from collections import Counter
from typing import Any

from service.intake.propose.cell_kinds import Look, seen
from service.intake.propose.draft import Draft, SeenColumn, pointer
from service.intake.propose.head_words import meaning_of
from service.intake.propose.schemas import Choice
from service.intake.propose.units import Unit, possible_units, written_unit
from service.intake.sheets.cell import Row
from service.reference.load import load_catalogue

FEWEST_KNOWN = 1
MOST_KINDS = 500


def is_long(draft: Draft) -> bool:
    """Tell whether a column names what was measured and another holds the value."""
    named, values = draft.that_mean("parameter"), draft.that_mean("value")
    return bool(named and values) and any(_parameter(word) for word in named[0].facts.words)


def ask_long(draft: Draft) -> None:
    """Put how a long sheet is read into the mapping, and ask what its words and units leave open."""
    named, value = draft.that_mean("parameter")[0], draft.that_mean("value")[0]
    unit = next(iter(draft.that_mean("unit")), None)
    long: dict[str, Any] = {"parameter": named.take(), "value": value.take(), "kinds": {}}
    if unit is not None:
        long["unit"] = unit.take()
    limit = next(iter(draft.that_mean("limit")), None)
    if limit is not None:
        long["limit"] = {"column": limit.take()}
    draft.mapping["long"] = long
    pairs = Counter((_text(row, named), _text(row, unit) if unit else "") for row in draft.rows)
    left_out = _kinds(draft, named, long["kinds"], pairs, with_unit=unit is not None)
    if left_out:
        long["left_out"] = left_out
        told = (
            f"{len(left_out)} words are no readings of this network and are left out: "
            f"{', '.join(left_out[:20])}. Right?"
        )
        draft.ask(
            "/long/left_out", named, told, [Choice(value=left_out, text="yes, leave them out")], needed=False
        )
    if value.facts.looks[Look.LIMIT]:
        row, text = value.facts.first[Look.LIMIT]
        value.remarks.append(
            f"only limits: {value.facts.looks[Look.LIMIT]}, such as {text} in row {row}; they are taken "
            "as limits"
        )


def _kinds(
    draft: Draft,
    column: SeenColumn,
    kinds: dict[str, Any],
    pairs: Counter[tuple[str, str]],
    *,
    with_unit: bool,
) -> list[str]:
    """Fill in the kinds, and return the words of which nothing can be read."""
    readable: set[str] = set()
    words = sorted({word for word, _ in pairs if word})
    for (word, unit), rows in sorted(pairs.items()):
        parameter = _parameter(word)
        if not word or parameter is None or len(kinds) >= MOST_KINDS:
            continue
        key = f"{word}|{unit}" if with_unit else word
        found = written_unit(parameter, unit) if unit else None
        options = [found] if found else possible_units(parameter)
        if parameter == "ph":
            options = [found or Unit("std units")]
        elif unit and found is None and not _nearly(parameter, unit):
            column.remarks.append(
                f'"{word}" in {unit} ({rows} rows) is not taken here; such rows are refused'
            )
            continue
        readable.add(word)
        kinds[key] = {"parameter": parameter}
        if len(options) == 1 and not _is_sum(word):
            kinds[key] = _kind(parameter, options[0])
        else:
            _ask_kind(draft, column, key, parameter, options, rows)
    return [word for word in words if word not in readable]


def _ask_kind(
    draft: Draft, column: SeenColumn, key: str, parameter: str, options: list[Unit], rows: int
) -> None:
    name = load_catalogue().parameters[parameter].name
    told = f"{rows} rows say {key.replace('|', ' in ').removesuffix(' in ')}. What is that exactly?"
    if _is_sum(key):
        told += " It counts nitrite too; as nitrate it is taken with that in mind."
    choices = [
        Choice(value=_kind(parameter, unit), text=f"{name} {unit.words or 'in ' + unit.unit}")
        for unit in options
    ]
    leave = Choice(value=None, text="leave it out; then its word belongs into /long/left_out")
    draft.ask(pointer("long", "kinds", key), column, told, [*choices, leave])


def _kind(parameter: str, unit: Unit) -> dict[str, Any]:
    kind: dict[str, Any] = {"parameter": parameter, "unit": unit.unit}
    return kind | ({"times": unit.times} if unit.times else {})


def _nearly(parameter: str, unit: str) -> bool:
    """Tell whether a unit only leaves open of what it counts the milligrams."""
    units = load_catalogue().parameters[parameter].units
    return unit.strip().casefold() in ("mg/l", "ppm") and any(one.startswith("mg/L as") for one in units)


def _is_sum(word: str) -> bool:
    meaning = meaning_of(word.partition("|")[0])
    return meaning is not None and meaning.means == "nitrate_and_nitrite"


def _parameter(word: str) -> str | None:
    meaning = meaning_of(word)
    if meaning is None:
        return None
    means = "nitrate" if meaning.means == "nitrate_and_nitrite" else meaning.means
    return means if means in load_catalogue().parameters else None


def _text(row: Row, column: SeenColumn) -> str:
    cell = row.cells[column.place] if column.place < len(row.cells) else None
    return "" if cell is None or seen(cell.value).look in (Look.EMPTY, Look.MISSING) else cell.text
