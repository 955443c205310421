"""What stands on a field sheet, in the order of the work at the creek: for HTML, PDF and the form."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.intake.asked_beside import asked_beside
from service.intake.field_order import Field, Kind, Sheet, cautions, choices, fields
from service.reference.entries import ListedKit
from service.reference.load import load_catalogue
from service.science.qa.wording import number_words, sentence, unit_words
from service.science.types import Kit
from service.sites.tables import Site

_PRINTED = {"m2": "m²", "um": "µm"}
FEW_MARKS = 8  # so many can be told by printing them
NET_ROWS = 12  # rows for animals, two beside each other
BEFORE_LEAVING = (
    "every reading has its unit and kit",
    "odd readings taken again",
    "animals back in the stream",
    "waste bottle closed and with us",
    "hands, nets and boots cleaned",
)


@dataclass(frozen=True, slots=True)
class ReadingLine:
    """One reading with one kit. ``scale`` is what the kit can show; ``below`` and ``above`` what to tick.

    ``done`` is what to tick of how it was taken, ``box`` what to write the code of the kit's box behind;
    empty where the kit has none.
    """

    parameter: str
    name: str
    unit: str
    kit: Kit
    kit_name: str
    scale: str
    below: str
    above: str
    done: tuple[str, ...]
    box: str
    how: str


@dataclass(frozen=True, slots=True)
class Choice:
    """A question with words to choose from; ``label`` is its head as it is printed."""

    field: Field
    label: str
    words: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SheetContent:
    """A field sheet. ``before`` comes before the readings, ``at_the_net`` with the catch."""

    network: str
    site: Site
    cautions: tuple[tuple[str, str], ...]
    before: tuple[Choice, ...]
    readings: tuple[ReadingLine, ...]
    at_the_net: tuple[Choice, ...]
    notes: Field


def sheet_content(network: str, site: Site, kits: Sequence[Kit]) -> SheetContent:
    """Return what stands on the sheet of a site for these kits, which are in the order of the work."""
    visit = [one for one in fields(Sheet.VISITS) if one.usual]
    net = [one for one in fields(Sheet.CATCH) if one.field not in {"site", "date", "time", "team"}]
    return SheetContent(
        network=network,
        site=site,
        cautions=cautions(),
        before=tuple(_choice(one) for one in visit if one.kind in _BEFORE),
        readings=tuple(reading_line(kit) for kit in kits),
        at_the_net=tuple(_choice(one) for one in net),
        notes=next(one for one in visit if one.kind is Kind.TEXT),
    )


_BEFORE = {Kind.PLACE, Kind.TIME, Kind.CODE, Kind.CHOICE, Kind.NUMBER}


def reading_line(kit: Kit) -> ReadingLine:
    """Return what a sheet says of a reading with a kit."""
    parameter = load_catalogue().parameters[kit.parameter]
    unit = unit_words(kit.unit).strip()
    return ReadingLine(
        parameter=kit.parameter,
        name=sentence(parameter.name.replace(" degC", "\u00a0°C")),
        unit=unit,
        kit=kit,
        kit_name=kit.name,
        scale=scale_words(kit),
        below="" if kit.reads_zero and kit.lower <= 0 else f"< {number_words(kit.lower)}",
        above=f"> {number_words(kit.upper)}",
        done=_done_words(kit),
        box=next((one.head for one in asked_beside(kit) if one.kind is Kind.BOX), ""),
        how=kit.instructions if isinstance(kit, ListedKit) else "Read it as the sheet of the kit says.",
    )


def scale_words(kit: Kit) -> str:
    """Return what a kit can show: its marks, or from where to where and in which steps."""
    unit = unit_words(kit.unit)
    if kit.marks and len(kit.marks) <= FEW_MARKS:
        return " · ".join(number_words(mark) for mark in kit.marks) + unit
    span = f"{number_words(kit.lower)} to {number_words(kit.upper)}{unit}"
    if kit.marks:
        return f"{span}, {len(kit.marks)} marks"
    return f"{span}, steps of {number_words(kit.step)}" if kit.step else span


def _done_words(kit: Kit) -> tuple[str, ...]:
    asked = {one.field for one in asked_beside(kit)}
    words = [_wait_words(kit)]
    if "bubble_free" in asked:
        words.append("no bubble")
    if kit.tablets is not None:
        words.append(f"{kit.tablets} tablet" + ("" if kit.tablets == 1 else "s"))
    if kit.sample_ml is not None:
        words.append(f"{number_words(kit.sample_ml)} mL of water")
    return tuple(filter(None, words))


def _wait_words(kit: Kit) -> str:
    first, last = kit.wait_minutes_min, kit.wait_minutes_max
    if kit.kind == "thermometer" and first is not None:
        return f"{number_words(60 * first)} s in water"
    if first is not None and last is not None and first != last:
        return f"read at {number_words(first)} to {number_words(last)} min"
    if last is not None:
        return f"read at {number_words(last)} min"
    return f"waited {number_words(first)} min" if first is not None else ""


def _choice(one: Field) -> Choice:
    words = () if one.choices in {"", "taxon", "site"} else choices(load_catalogue())[one.choices]
    return Choice(one, label_of(one), words)


def label_of(one: Field) -> str:
    """Return the head of a field as it is printed, its unit in brackets: ``Air temperature (°C)``."""
    name, _, unit = one.head.partition(" [")
    sign = _PRINTED.get(unit.rstrip("]")) or unit_words(unit.rstrip("]")).strip()
    return sentence(name) + (f" ({sign})" if sign else "")
