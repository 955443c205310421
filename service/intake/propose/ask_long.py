"""A sheet with one reading a row: which words of it are which readings, in which unit."""

import re
from collections import Counter
from typing import Any

from service.intake.propose.ask_limits import ask_signs
from service.intake.propose.by_content import signs_of
from service.intake.propose.cell_kinds import Look, seen
from service.intake.propose.draft import Draft, SeenColumn, pointer
from service.intake.propose.head_words import meaning_of
from service.intake.propose.may_be import may_be
from service.intake.propose.schemas import Choice
from service.intake.propose.units import Unit, is_nearly, possible_units, says_nitrogen, written_unit
from service.intake.sheets.cell import Row
from service.reference.load import load_catalogue

_BASIS = re.compile(r"as \w{1,6}", re.IGNORECASE)
MOST_KINDS = 500


def is_long(draft: Draft) -> bool:
    """Tell whether a column names what was measured and another holds the value."""
    named, values = draft.that_mean("parameter"), draft.that_mean("value")
    return bool(named and values) and any(_parameters(word) for word in named[0].facts.words)


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
    _ask_signs(draft, value)
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


def _ask_signs(draft: Draft, value: SeenColumn) -> None:
    for column in draft.columns:
        if signs := signs_of(column.facts):
            ask_signs(draft, value, column, signs, "/long/censored")
            return


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
        parameters = _parameters(word)
        if not parameters or len(kinds) >= MOST_KINDS:
            continue
        options = _options(parameters, word, unit)
        if not options:
            column.remarks.append(
                f'"{word}" in {unit} ({rows} rows) is not taken here; such rows are refused'
            )
            continue
        readable.add(word)
        key = f"{word}|{unit}" if with_unit else word
        kinds[key] = {"parameter": parameters[0]}
        if len(options) == 1 and not _is_sum(word) and not _more(word):
            kinds[key] = _kind(*options[0])
        else:
            _ask_kind(draft, column, key, options, rows)
    return [word for word in words if word not in readable]


def _options(parameters: tuple[str, ...], word: str, unit: str) -> list[tuple[str, Unit]]:
    """Return what a word with its unit may be: as the unit says, or every unit where none is written."""
    if parameters == ("ph",):
        return [("ph", Unit("std units"))]
    found = [(one, known) for one in parameters if (known := _unit(one, word, unit))]
    if found:
        return found
    if unit and not any(is_nearly(one, unit) for one in parameters):
        return []
    options = [(one, known) for one in parameters for known in possible_units(one)]
    if says_nitrogen(word):
        options.sort(key=lambda one: not one[1].unit.endswith((" N", " P")))
    return options


def _ask_kind(draft: Draft, column: SeenColumn, key: str, options: list[tuple[str, Unit]], rows: int) -> None:
    known = load_catalogue().parameters
    told = f"{rows} rows say {key.replace('|', ' in ').removesuffix(' in ')}. What is that exactly?"
    if more := _more(key.partition("|")[0]):
        told += f' It says "{more}" too: is it {known[options[0][0]].name} in the water, or another thing?'
    told += _basis_told(draft)
    if _is_sum(key):
        told += " It counts nitrite too; as nitrate it is taken with that in mind."
    choices = [
        Choice(
            value=_kind(parameter, unit), text=f"{known[parameter].name} {unit.words or 'in ' + unit.unit}"
        )
        for parameter, unit in options
    ]
    leave = Choice(value=None, text="leave it out; then its word belongs into /long/left_out")
    draft.ask(pointer("long", "kinds", key), column, told, [*choices, leave])


def _basis_told(draft: Draft) -> str:
    """Return what a column says of the basis of each row, as a mapping has one for all rows of a word."""
    for column in draft.columns:
        words = column.facts.words
        if len(words) > 1 and all(_BASIS.fullmatch(word) for word in words):
            listed = ", ".join(f"{word} in {words[word]} rows" for word in sorted(words))
            return (
                f" {column.label} says {listed}. Here one basis holds for all rows of a word and unit, so "
                "write it behind the unit of each row (mg/L as N) and ask again."
            )
    return ""


def _kind(parameter: str, unit: Unit) -> dict[str, Any]:
    kind: dict[str, Any] = {"parameter": parameter, "unit": unit.unit}
    return kind | ({"times": unit.times} if unit.times else {})


def _is_sum(word: str) -> bool:
    meaning = meaning_of(word.partition("|")[0])
    return meaning is not None and meaning.means == "nitrate_and_nitrite"


def _parameters(word: str) -> tuple[str, ...]:
    """Return the parameters that a word may stand for; none where it stands for no reading taken here."""
    meaning = meaning_of(word) if word else None
    found = may_be(meaning.means, word) if meaning else ()
    return tuple(one for one in found if one in load_catalogue().parameters)


def _unit(parameter: str, word: str, unit: str) -> Unit | None:
    """Return the unit that a word says with what stands beside it: Nitrate as N, in mg/L."""
    found = written_unit(parameter, unit) if unit else None
    if found or not is_nearly(parameter, unit):
        return found
    _, sign, of = word.rpartition(" as ")
    return written_unit(parameter, f"mg/L as {of}") if sign else None


def _more(word: str) -> str:
    meaning = meaning_of(word)
    return meaning.more if meaning else ""


def _text(row: Row, column: SeenColumn) -> str:
    cell = row.cells[column.place] if column.place < len(row.cells) else None
    return "" if cell is None or seen(cell.value).look in (Look.EMPTY, Look.MISSING) else cell.text
