"""Which columns are readings, of what and in which unit; asked wherever the head leaves it open."""

import re
from typing import Any

from service.intake.propose.ask_limits import ask_flag_of_ceiling, ask_signs_beside
from service.intake.propose.cell_kinds import Look
from service.intake.propose.draft import LEAVE_OUT, Draft, SeenColumn, pointer
from service.intake.propose.head_words import in_brackets, plain_head
from service.intake.propose.may_be import may_be, units_in_head
from service.intake.propose.schemas import Choice
from service.intake.propose.seen_columns import numbers_told
from service.intake.propose.unit_beside import unit_beside
from service.intake.propose.units import Unit, is_nearly, possible_units, says_nitrogen, unit_in_head
from service.reference.load import load_catalogue

MANY_AT_CEILING = 5
ALWAYS_ASKED = ("nitrate_and_nitrite", "some_depth")
WHY_ASKED = {
    "conductivity": "A meter that corrects to 25 degrees gives specific conductance; one that does not gives "
    "conductivity.",
    "nitrate_and_nitrite": "It counts nitrite too; as nitrate it is taken with that in mind.",
    "some_depth": "It may be how deep the stream is, or how deep the sample was taken; then leave it out "
    "here.",
    "flow_number": "It may be the speed of the current or the discharge.",
}
NOT_TAKEN = {
    "latitude": "a place is kept with its site; it is not read here",
    "longitude": "a place is kept with its site; it is not read here",
    "secchi": "a disk in a lake is not the transparency tube; it is not read",
    "not_ours": "not a reading of this network; it is not read",
}


def ask_readings(draft: Draft) -> None:
    """Put a line into the mapping for each column of readings, and ask for what is open."""
    readings: list[dict[str, Any]] = []
    before: list[tuple[SeenColumn, str]] = []
    for column in draft.columns:
        if column.means in NOT_TAKEN:
            column.remarks.append(NOT_TAKEN[column.means])
        parameters = may_be(column.means, column.head)
        if parameters[0] in load_catalogue().parameters and (column.facts.filled or column.facts.faults):
            line = {"column": column.take(), "parameter": parameters[0]}
            readings.append(line)
            found = units_in_head(parameters, column.head)
            meant = found[0][0] if len(found) == 1 else parameters[0]
            twin = next((one for one, parameter in before if parameter == meant), None)
            _fill_in(draft, column, parameters, line, twin, len(readings) - 1)
            before.append((column, str(line["parameter"])))
    if readings:
        draft.mapping["readings"] = readings


def _fill_in(
    draft: Draft,
    column: SeenColumn,
    parameters: tuple[str, ...],
    line: dict[str, Any],
    twin: SeenColumn | None,
    place: int,
) -> None:
    """Fill in what is certain of a line, and ask for the rest."""
    found = units_in_head(parameters, column.head)
    doubts = _doubts(column, parameters[0], twin)
    beside = unit_beside(draft, column, parameters)
    if parameters == ("ph",):
        line["unit"] = "std units"
        found = [("ph", Unit("std units"))]
    elif beside is not None:
        line |= beside
    elif len(found) != 1 or column.means in ALWAYS_ASKED:
        doubts.insert(0, _unit_told(column, parameters))
        found = found or _open(column, parameters)
    else:
        line |= _line(column, *found[0]) if not doubts else {}
        if found[0][1].times:
            column.remarks.append(
                f"each number is multiplied by {found[0][1].times:g}, to be {found[0][1].words}"
            )
    if doubts:
        options = [_line(column, *one) for one in found] if beside is None else [dict(line)]
        _ask_line(draft, column, options, doubts, place)
    _remark_on_numbers(draft, column, place)
    ask_signs_beside(draft, column, pointer("readings", place, "censored"))
    _ask_kit(draft, column, line["parameter"], place)


def _doubts(column: SeenColumn, parameter: str, twin: SeenColumn | None) -> list[str]:
    """Return why a column is asked about though its unit is known."""
    name = load_catalogue().parameters[parameter].name
    doubts = []
    unit = "" if units_in_head((parameter,), column.head) else plain_head(in_brackets(column.head))
    if more := " ".join(word for word in column.more.split() if word not in unit.split()):
        doubts.append(f'Its head says "{more}" too. Is it {name} as read in the water, or another thing?')
    if twin is not None and not _numbered_alike(twin.name, column.name):
        doubts.append(
            f"{twin.label} seems to be the same. Is this one a repeat of it, at the same site and time? Then "
            "both are read, and numbered as repeats."
        )
    if column.means == "turbidity" and parameter == "transparency":
        doubts.append("Turbidity is not read in lengths. Is it how clear the water was in a tube?")
    if not column.facts.filled and column.facts.faults:
        many, row, fault = column.facts.faults
        doubts.append(f"All of its {many} cells are refused: in row {row}, the cell {fault}. Mend the sheet.")
    return doubts


def _numbered_alike(first: str, second: str) -> bool:
    """Tell whether two heads differ only in the number of the repeat: pH 1 and pH 2."""
    plain = [re.sub(r"\b\d{1,2}\b", "#", plain_head(head)) for head in (first, second)]
    return plain[0] == plain[1] and "#" in plain[0] and plain_head(first) != plain_head(second)


def _open(column: SeenColumn, parameters: tuple[str, ...]) -> list[tuple[str, Unit]]:
    units = [(parameter, unit) for parameter in parameters for unit in possible_units(parameter)]
    if says_nitrogen(column.name):
        units.sort(key=lambda one: not one[1].unit.endswith((" N", " P")))
    return units


def _unit_told(column: SeenColumn, parameters: tuple[str, ...]) -> str:
    """Return what is open about the unit of a column."""
    told = "The head does not say in which unit its numbers are, or what exactly was measured."
    said = in_brackets(column.head)
    names = [load_catalogue().parameters[parameter].name for parameter in parameters]
    if said and not any(unit_in_head(one, column.head) or is_nearly(one, said) for one in parameters):
        told = f'The head says "{said}", which is no unit in which {names[0]} is taken here.'
    told = " ".join([told, WHY_ASKED.get(column.means, ""), numbers_told(column.facts)])
    if any(unit.unit.endswith((" as N", " as P")) for _, unit in _open(column, parameters)):
        told += " It matters whether it is given as the element or as the whole molecule."
    return told


def _ask_line(
    draft: Draft, column: SeenColumn, lines: list[dict[str, Any]], doubts: list[str], place: int
) -> None:
    names = {parameter: known.name for parameter, known in load_catalogue().parameters.items()}
    choices = [Choice(value=line, text=_choice_text(names[line["parameter"]], line)) for line in lines]
    draft.ask(
        pointer("readings", place), column, " ".join(" ".join(doubts).split()), [*choices, LEAVE_OUT],
        write="leave it out where the unit is another, or add `times` to turn it into one of these",
    )  # fmt: skip


def _choice_text(name: str, line: dict[str, Any]) -> str:
    if "unit_column" in line:
        return f"{name}, each in the unit beside it"
    if line["parameter"] == "ph":
        return name
    written = next(
        (
            one.words
            for one in possible_units(line["parameter"])
            if (one.unit, one.times) == (line["unit"], line.get("times"))
        ),
        f"in {line['unit']}" + (f", multiplied by {line['times']:g}" if "times" in line else ""),
    )
    return f"{name} {written}"


def _line(column: SeenColumn, parameter: str, unit: Unit) -> dict[str, Any]:
    line: dict[str, Any] = {"column": column.ref, "parameter": parameter, "unit": unit.unit}
    return line | ({"times": unit.times} if unit.times else {})


def _remark_on_numbers(draft: Draft, column: SeenColumn, place: int) -> None:
    facts = column.facts
    if facts.negative:
        many, row, text = facts.negative
        column.remarks.append(f"numbers below zero: {many}, the first is {text} in row {row}")
    if facts.looks[Look.LIMIT]:
        row, text = facts.first[Look.LIMIT]
        many = facts.looks[Look.LIMIT]
        column.remarks.append(f"only limits: {many}, such as {text} in row {row}; they are taken as limits")
    signs = [sign for sign in facts.signs if sign not in "<>+"]
    if signs:
        column.remarks.append(
            f"{' and '.join(signs)} leave open whether the limit itself was read; such rows are refused"
        )
    if facts.at_high >= MANY_AT_CEILING and column.means in ("e_coli", "transparency"):
        column.remarks.append(
            f"exactly {facts.high:g}, the largest of all: {facts.at_high} values; if the method shows no "
            "more, "
            "they are limits (>)"
        )
        ask_flag_of_ceiling(draft, column, pointer("readings", place, "censored"))


def _ask_kit(draft: Draft, column: SeenColumn, parameter: str, place: int) -> None:
    kits = load_catalogue().kits_for(parameter)
    if kits:
        choices = [Choice(value=kit.code, text=kit.name) for kit in kits]
        told = "With which kit was it read? The checks then know its limits. Leave it open if nobody knows."
        draft.ask(
            pointer("readings", place, "kit"), column, told, [*choices, Choice(value=None, text="not known")],
            write="the code of another kit of the network", needed=False,
        )  # fmt: skip
