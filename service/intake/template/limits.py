"""Between which numbers a cell of the template lies, and what to write beyond them."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from annotated_types import Ge, Gt, Le
from pydantic import BaseModel

from service.reference.entries import ListedParameter
from service.science.qa.wording import number_words, unit_words
from service.science.types import Kit
from service.visits.schemas import CatchBody, ConditionsBody, CountBody, ProcedureBody


@dataclass(frozen=True, slots=True)
class Span:
    """From ``low`` to ``high``, both allowed; ``words`` say so. ``censored``: < and > may stand before it."""

    low: float
    high: float
    words: str
    censored: bool = False


def kit_span(kit: Kit) -> Span:
    """Return what a kit can show, in its unit."""
    low, high, unit = number_words(kit.lower), number_words(kit.upper), unit_words(kit.unit)
    shown = f"The kit reads {low} to {high}{unit}"
    if kit.marks:
        shown += f", on the marks {', '.join(number_words(mark) for mark in kit.marks)}"
    beyond = f"write > {high} above it"
    below = f"write < {low} below it" if kit.lower > 0 else ""
    nothing = "; nothing seen is not 0" if not kit.reads_zero and kit.lower > 0 else ""
    return Span(
        kit.lower, kit.upper, f"{shown}; {' and '.join(filter(None, (below, beyond)))}{nothing}.", True
    )


def parameter_span(parameter: ListedParameter) -> Span:
    """Return what a reading can be at all, in the unit of storage, where no kit is named."""
    low, high = number_words(parameter.physical_min), number_words(parameter.physical_max)
    words = f"A number from {low} to {high}{unit_words(parameter.unit)}; < or > before it where the kit ends."
    return Span(parameter.physical_min, parameter.physical_max, words, True)


@cache
def spans_of_fields() -> Mapping[str, Span]:
    """Return the bounds of the fields that are numbers, as a visit that is handed in has them."""
    found: dict[str, Span] = {}
    for body in (ConditionsBody, ProcedureBody, CountBody, CatchBody):
        found.update(_spans(body))
    found["air_temperature"] = found["air_temperature_c"]
    return found


def _spans(body: type[BaseModel]) -> Mapping[str, Span]:
    found: dict[str, Span] = {}
    for name, info in body.model_fields.items():
        lows = [float(str(rule.ge)) for rule in info.metadata if isinstance(rule, Ge)]
        above = [float(str(rule.gt)) for rule in info.metadata if isinstance(rule, Gt)]
        highs = [float(str(rule.le)) for rule in info.metadata if isinstance(rule, Le)]
        if highs and (lows or above):
            low = (lows or above)[0]
            start = "above" if above else "from"
            words = f"A number {start} {number_words(low)} to {number_words(highs[0])}."
            found[name] = Span(low, highs[0], words)
    return found
