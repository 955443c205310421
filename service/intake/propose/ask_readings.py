"""Which columns are readings, of what and in which unit; asked wherever the head leaves it open."""

from typing import Any

from service.intake.mapping.written.words import plain_word
from service.intake.propose.cell_kinds import Look
from service.intake.propose.draft import LEAVE_OUT, Draft, SeenColumn, pointer
from service.intake.propose.schemas import Choice
from service.intake.propose.seen_columns import numbers_told
from service.intake.propose.units import Unit, possible_units, says_nitrogen, unit_in_head
from service.reference.load import load_catalogue

MANY_AT_CEILING = 5
# A head that may be one of several parameters, by what it seems to mean.
MAY_BE = {
    "dissolved_oxygen": ("dissolved_oxygen", "dissolved_oxygen_saturation"),
    "conductivity": ("specific_conductance", "conductivity"),
    "flow_number": ("current_velocity", "discharge"),
    "nitrate_and_nitrite": ("nitrate",),
    "some_depth": ("water_depth",),
}
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
    for column in draft.columns:
        if column.means in NOT_TAKEN:
            column.remarks.append(NOT_TAKEN[column.means])
        parameters = MAY_BE.get(column.means, (column.means,))
        if parameters[0] in load_catalogue().parameters and column.facts.filled:
            line = _reading(draft, column, parameters, len(readings))
            twin = next((one for one in readings if one["parameter"] == line["parameter"]), None)
            if twin is not None:
                column.remarks.append(
                    f"{twin['column']} may be the same; both are read, and numbered as repeats"
                )
            readings.append(line)
    if readings:
        draft.mapping["readings"] = readings


def _reading(draft: Draft, column: SeenColumn, parameters: tuple[str, ...], place: int) -> dict[str, Any]:
    line: dict[str, Any] = {"column": column.take(), "parameter": parameters[0]}
    found = [(parameter, unit) for parameter in parameters if (unit := unit_in_head(parameter, column.name))]
    if parameters == ("ph",):
        line["unit"] = "std units"
    elif len(found) == 1 and column.means not in ALWAYS_ASKED:
        line |= _line(column, *found[0])
        if found[0][1].times:
            column.remarks.append(
                f"each number is multiplied by {found[0][1].times:g}, to be {found[0][1].words}"
            )
    else:
        _ask_unit(draft, column, found or _open(column, parameters), place)
    _remark_on_numbers(draft, column, place)
    _ask_kit(draft, column, line["parameter"], place)
    return line


def _open(column: SeenColumn, parameters: tuple[str, ...]) -> list[tuple[str, Unit]]:
    units = [(parameter, unit) for parameter in parameters for unit in possible_units(parameter)]
    if says_nitrogen(column.name):
        units.sort(key=lambda one: not one[1].unit.endswith((" N", " P")))
    return units


def _ask_unit(draft: Draft, column: SeenColumn, units: list[tuple[str, Unit]], place: int) -> None:
    known = load_catalogue().parameters
    choices = [
        Choice(value=_line(column, parameter, unit), text=f"{known[parameter].name} {unit.words}")
        for parameter, unit in units
    ]
    told = "The head does not say in which unit its numbers are, or what exactly was measured."
    told = " ".join([told, WHY_ASKED.get(column.means, ""), numbers_told(column.facts)])
    if any(unit.unit.endswith((" as N", " as P")) for _, unit in units):
        told += " It matters whether it is given as the element or as the whole molecule."
    draft.ask(
        pointer("readings", place), column, " ".join(told.split()), [*choices, LEAVE_OUT],
        write="leave it out where the unit is another, or add `times` to turn it into one of these",
    )  # fmt: skip


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
        _ask_censoring(draft, column, place)


def _ask_censoring(draft: Draft, column: SeenColumn, place: int) -> None:
    for flag in draft.that_mean("censored"):
        true = [word for word in flag.facts.words if plain_word(word) in ("true", "yes", "y", "1", ">")]
        if not true:
            continue
        values = {word: ">" if word in true else "" for word in sorted(flag.facts.words)}
        value = {"column": flag.ref, "values": values}
        told = (
            f"Does {flag.label} say which of these values are only limits? {flag.facts.words[true[0]]} rows "
            f"say {true[0]}."
        )
        draft.ask(
            pointer("readings", place, "censored"),
            column,
            told,
            [
                Choice(value=value, text=f"{true[0]} means: above the value"),
                Choice(value=None, text="no, it is something else"),
            ],
            needed=False,
        )


def _ask_kit(draft: Draft, column: SeenColumn, parameter: str, place: int) -> None:
    kits = load_catalogue().kits_for(parameter)
    if kits:
        choices = [Choice(value=kit.code, text=kit.name) for kit in kits]
        told = "With which kit was it read? The checks then know its limits. Leave it open if nobody knows."
        draft.ask(
            pointer("readings", place, "kit"), column, told, [*choices, Choice(value=None, text="not known")],
            write="the code of another kit of the network", needed=False,
        )  # fmt: skip
