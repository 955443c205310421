"""The names of our template's columns: written here, and understood again here."""

import re
from dataclasses import dataclass

from service.intake.field_order import Field
from service.reference.catalogue import Catalogue
from service.science.types import Parameter

MARK = "Wadebook 1"  # head of the first column; 1 is the version of the layout
EXAMPLE = "example"
_READING = re.compile(r"(?P<name>.+?) \[(?P<unit>[^\[\]]+)\](?: (?P<kit>[a-z0-9][a-z0-9_-]{0,47}))?")


@dataclass(frozen=True, slots=True)
class ReadingHead:
    """What the head of a column of readings says."""

    parameter: str
    unit: str
    kit: str | None


def reading_head(parameter: Parameter, unit: str, kit: str | None = None) -> str:
    """Return the head of a column of readings: ``nitrate [mg/L as NO3] nitrate-strip``."""
    return f"{parameter.name} [{unit}]" + (f" {kit}" if kit else "")


def beside_head(field: Field, kit: str) -> str:
    """Return the head of a column that says more of a reading: ``minutes waited: nitrate-strip``."""
    return f"{field.head}: {kit}"


def read_reading_head(head: str, catalogue: Catalogue) -> ReadingHead | None:
    """Return what a head says, or ``None`` where it is not that of a reading.

    Raises
    ------
    ValueError
        It is meant as a reading, but its parameter or unit is not known; the text says what to write.
    """
    parts = _READING.fullmatch(" ".join(head.split()))
    if parts is None:
        return None
    by_name = {parameter.name.casefold(): parameter for parameter in catalogue.parameters.values()}
    parameter = by_name.get(parts["name"].casefold()) or catalogue.parameters.get(parts["name"])
    if parameter is None:
        known = ", ".join(one.name for one in catalogue.parameters.values())
        raise ValueError(f"{parts['name']} is not one of the readings; known are {known}")
    if parts["unit"] not in parameter.units:
        wanted = " or ".join(f"[{unit}]" for unit in parameter.units)
        raise ValueError(f"{parameter.name} is given in {wanted}, not in [{parts['unit']}]")
    return ReadingHead(parameter.id, parts["unit"], parts["kit"])


def is_ours(first_head: str) -> bool:
    """Tell whether a sheet that begins with this head is our template."""
    return " ".join(first_head.split()).casefold() == MARK.casefold()
