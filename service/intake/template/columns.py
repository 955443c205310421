"""The columns of our template for a school's sites and kits: what to write, and between which limits."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, time
from enum import StrEnum

from service.intake.asked_beside import asked_beside
from service.intake.field_order import BESIDE, Field, Kind, Sheet, fields
from service.intake.template.heads import EXAMPLE, MARK, beside_head, reading_head
from service.intake.template.limits import Span, kit_span, parameter_span, spans_of_fields
from service.reference.catalogue import Catalogue
from service.reference.entries import ListedKit
from service.science.types import Kit
from service.science.units import convert

Value = str | float | date | time | None


@dataclass(frozen=True, slots=True)
class TemplateColumn:
    """One column. ``choices`` names the list to choose a cell from, ``heads`` are what its head may say."""

    head: str
    kind: Kind
    write: str
    example: Value
    choices: str = ""
    unit: str = ""
    span: Span | None = None
    heads: tuple[str, ...] = ()


_MARK = TemplateColumn(
    MARK, Kind.CODE, f"Leave it empty. A row that says {EXAMPLE} here is never read.", EXAMPLE
)


class Counting(StrEnum):
    """How the animals of a net sample are counted, if there is one."""

    COUNTS = "counts"
    LETTERS = "letters"
    NONE = "none"


LEFT_OUT = {
    Counting.COUNTS: frozenset({"letter"}),
    Counting.LETTERS: frozenset({"count"}),
    Counting.NONE: frozenset({"letter", "count"}),
}


@dataclass(frozen=True, slots=True)
class Choice:
    """What a template is made for. ``kits`` are those its readings are taken with, in no order.

    ``parameters`` are read without a kit that is named; without both, the usual ones are asked for.
    ``network_kits`` are the network's own, which a head may name.
    """

    sites: Sequence[tuple[str, str]]
    kits: Sequence[Kit] = ()
    parameters: Collection[str] = ()
    counting: Counting = Counting.COUNTS
    network_kits: Sequence[Kit] = ()


def template_columns(sheet: Sheet, choice: Choice, catalogue: Catalogue) -> tuple[TemplateColumn, ...]:
    """Return the columns of a sheet in the order of the work; the first marks ours, and the example."""
    return (_MARK, *(column for one in fields(sheet) for column in _columns_of(one, choice, catalogue)))


def columns_in_one(choice: Choice, catalogue: Catalogue) -> tuple[TemplateColumn, ...]:
    """Return the columns of a visit and then those of its animals, for a file that has one sheet only."""
    found = template_columns(Sheet.VISITS, choice, catalogue)
    if choice.counting is Counting.NONE:
        return found
    heads = {column.head for column in found}
    more = template_columns(Sheet.CATCH, choice, catalogue)
    return (*found, *(column for column in more if column.head not in heads))


def _columns_of(one: Field, choice: Choice, catalogue: Catalogue) -> Iterator[TemplateColumn]:
    if one.kind is Kind.READING:
        yield from _readings(one, choice, catalogue)
    elif one.kind not in BESIDE and one.field not in LEFT_OUT[choice.counting]:
        yield TemplateColumn(
            one.head,
            one.kind,
            one.write,
            _example(one, choice),
            one.choices,
            span=spans_of_fields().get(one.field),
        )


def _example(one: Field, choice: Choice) -> Value:
    if one.kind is Kind.PLACE:
        return choice.sites[0][0] if choice.sites else "creek-01"
    if one.field == "date":
        return date.fromisoformat(one.example)
    if one.kind is Kind.TIME:
        return time.fromisoformat(one.example)
    return float(one.example) if one.kind is Kind.NUMBER and one.example else one.example or None


def _readings(one: Field, choice: Choice, catalogue: Catalogue) -> Iterator[TemplateColumn]:
    parameter = catalogue.parameters[one.field]
    kits = [kit for kit in choice.kits if kit.parameter == parameter.id]
    for kit in kits:
        yield TemplateColumn(
            head=reading_head(parameter, kit.unit, kit.code),
            kind=one.kind,
            write=kit.instructions if isinstance(kit, ListedKit) else "As the kit shows it.",
            example=on_scale(convert(float(one.example), parameter.unit, kit.unit), kit),
            unit=kit.unit,
            span=kit_span(kit),
        )
        yield from _beside(kit)
    asked = one.field in choice.parameters or (not choice.kits and not choice.parameters and one.usual)
    if asked and not kits:
        offered: list[Kit] = [*catalogue.kits_for(parameter.id)]
        offered += [kit for kit in choice.network_kits if kit.parameter == parameter.id]
        heads = tuple(reading_head(parameter, kit.unit, kit.code) for kit in offered)
        heads += tuple(reading_head(parameter, unit) for unit in parameter.units)
        yield TemplateColumn(
            head=reading_head(parameter, parameter.unit),
            kind=one.kind,
            write="As read, in the unit of the head. Choose the head that names your kit from its list.",
            example=float(one.example),
            unit=parameter.unit,
            span=parameter_span(parameter),
            heads=heads,
        )


def _beside(kit: Kit) -> Iterator[TemplateColumn]:
    examples: dict[str, Value] = {
        "minutes_waited": kit.wait_minutes_min,
        "tablets": kit.tablets,
        "sample_ml": kit.sample_ml,
    }
    for one in asked_beside(kit):
        is_text = one.choices or one.kind is Kind.BOX
        example = examples.get(one.field) or (one.example if is_text else float(one.example))
        span = spans_of_fields().get(one.field)
        yield TemplateColumn(beside_head(one, kit.code), one.kind, one.write, example, one.choices, span=span)


def on_scale(value: float, kit: Kit) -> float:
    """Return the value [unit of the kit] that the kit shows nearest to it."""
    inside = min(max(value, kit.lower), kit.upper)
    if kit.marks:
        return min(
            (mark for mark in kit.marks if kit.lower <= mark <= kit.upper),
            key=lambda mark: abs(mark - inside),
        )
    return round(round(inside / kit.step) * kit.step, 6) if kit.step else inside
