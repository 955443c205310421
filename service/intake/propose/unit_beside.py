"""A column of units beside the readings that they belong to."""

from typing import Any

from service.intake.propose.draft import Draft, SeenColumn
from service.intake.propose.units import Unit, written_unit


def unit_beside(draft: Draft, column: SeenColumn, parameters: tuple[str, ...]) -> dict[str, Any] | None:
    """Return what a mapping says of the column to the right, if all its words are units of one parameter."""
    if column.place + 1 >= len(draft.columns):
        return None
    beside = draft.columns[column.place + 1]
    words = list(beside.facts.words)
    for parameter in parameters:
        units = {word: written_unit(parameter, word) for word in words}
        accepted = {word: unit.unit for word, unit in units.items() if unit is not None and _as_it_is(unit)}
        if words and len(accepted) == len(words):
            beside.remarks.append(f"the unit of {column.label}, row by row")
            beside.means = "unit"
            values = {"column": beside.take(), "values": accepted}
            return {"parameter": parameter, "unit_column": values}
    return None


def _as_it_is(unit: Unit) -> bool:
    return unit.times is None
