"""The fields of the form: for each reading the kits to choose from, and what to ask beside it."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from service.intake.asked_beside import asked_beside
from service.intake.field_order import Field, Kind, Sheet, fields
from service.intake.paper.content import ReadingLine, reading_line, scale_words
from service.reference.load import load_catalogue
from service.science.qa.wording import sentence, unit_words
from service.science.types import Kit
from service.sites.tables import SchoolKitLot

ADD = "add"  # the field that names a further reading to be shown
UNIT = "="  # before a unit, in the list of kits: another kit, that shows this unit


@dataclass(frozen=True, slots=True)
class ReadingField:
    """One reading of the form. ``name`` begins the names of its fields; ``line`` is of the chosen kit.

    ``boxes`` are those of the chosen kit that the school is known to have: code, and what is said of it.
    """

    name: str
    parameter: str
    title: str
    options: tuple[tuple[str, str], ...]
    chosen: str
    line: ReadingLine | None
    beside: tuple[Field, ...]
    boxes: tuple[tuple[str, str], ...]
    is_shown: bool


def name_of(parameter: str, part: str) -> str:
    """Return the name of a field of a reading: ``r-ph-value``."""
    return f"r-{parameter}-{part}"


def reading_fields(
    kits: Sequence[Kit],
    network_kits: Sequence[Kit],
    boxes: Sequence[SchoolKitLot],
    typed: Mapping[str, str],
) -> tuple[ReadingField, ...]:
    """Return the readings in the order of the work.

    Parameters
    ----------
    kits : those that the form is made for; their readings come first to the eye
    network_kits : the network's own, to be chosen from too
    boxes : of the school's kits; none for somebody who has not shown its key
    typed : what was typed before; a kit that was chosen there stays
    """
    order = [one.field for one in fields(Sheet.VISITS) if one.kind is Kind.READING]
    return tuple(_field(parameter, kits, network_kits, boxes, typed) for parameter in order)


def kits_of(parameter: str, kits: Sequence[Kit], network_kits: Sequence[Kit]) -> dict[str, Kit]:
    """Return the kits that a reading may be taken with, by their codes."""
    offered = [*load_catalogue().kits_for(parameter), *network_kits, *kits]
    return {kit.code: kit for kit in offered if kit.parameter == parameter}


def _field(
    parameter: str,
    kits: Sequence[Kit],
    network_kits: Sequence[Kit],
    boxes: Sequence[SchoolKitLot],
    typed: Mapping[str, str],
) -> ReadingField:
    entry = load_catalogue().parameters[parameter]
    offered = kits_of(parameter, kits, network_kits)
    usual = next((kit.code for kit in kits if kit.parameter == parameter), None)
    options = [(code, f"{kit.name}: {scale_words(kit)}") for code, kit in offered.items()]
    options += [(UNIT + unit, f"another kit,{unit_words(unit) or ' no unit'}") for unit in entry.units]
    chosen = typed.get(name_of(parameter, "kit"), usual or UNIT + entry.unit)
    kit = offered.get(chosen)
    return ReadingField(
        name=f"r-{parameter}",
        parameter=parameter,
        title=sentence(entry.name.replace("degC", "°C")),
        options=tuple(options),
        chosen=chosen,
        line=reading_line(kit) if kit is not None else None,
        beside=asked_beside(kit),
        boxes=tuple((box.code, _box_words(box)) for box in boxes if kit is not None and box.kit == kit.code),
        is_shown=usual is not None or name_of(parameter, "kit") in typed or typed.get(ADD) == parameter,
    )


def _box_words(box: SchoolKitLot) -> str:
    words = box.code
    if box.expires_on is not None:
        words += f", good until {box.expires_on}"
    if box.blank_failed_on is not None:
        words += f", blank showed colour on {box.blank_failed_on}"
    return words
