"""Whether parameters and kits fit each other, the units and the scales they claim."""

from collections.abc import Iterator, Mapping
from itertools import pairwise

from service.reference.entries import ListedKit, ListedParameter
from service.reference.errors import Breach
from service.reference.rows import Row, Table
from service.science.units import convert


def parameter_breaches(parameters: Table[ListedParameter]) -> Iterator[Breach]:
    """Yield every parameter whose units or bounds cannot be right."""
    for row, parameter in parameters:
        if parameter.unit not in parameter.units:
            yield row.breach("units", f"lacks the unit of storage, {parameter.unit}; add it")
        if len(set(parameter.units)) < len(parameter.units):
            yield row.breach("units", "names a unit twice; take one out")
        for unit in parameter.units:
            try:
                convert(1.0, unit, parameter.unit)
            except ValueError:
                said = (
                    f"'{unit}' cannot be converted to {parameter.unit}; teach service/science/units.py first"
                )
                yield row.breach("units", said)
        if parameter.physical_min >= parameter.physical_max:
            yield row.breach("physical_min", "must be below physical_max")


def kit_breaches(kits: Table[ListedKit], parameters: Mapping[str, ListedParameter]) -> Iterator[Breach]:
    """Yield every kit that measures nothing known or whose scale contradicts itself."""
    for row, kit in kits:
        parameter = parameters.get(kit.parameter)
        if parameter is None:
            yield row.breach("parameter", f"'{kit.parameter}' is not in parameters.csv")
        elif kit.unit not in parameter.units:
            yield row.breach("unit", f"'{kit.unit}' is not a unit of {kit.parameter} in parameters.csv")
        yield from _scale_breaches(row, kit)
        yield from _wait_breaches(row, kit)
        if kit.accuracy is not None and kit.accuracy <= 0:
            yield row.breach("accuracy", "must be above 0, or empty when it is not stated")


def _scale_breaches(row: Row, kit: ListedKit) -> Iterator[Breach]:
    if kit.lower > kit.upper:
        yield row.breach("lower", "must not be above upper")
    if kit.step is not None and kit.step <= 0:
        yield row.breach("step", "must be above 0")
    if bool(kit.marks) == (kit.step is not None):
        yield row.breach("step", "give either marks or a step, and not both")
    if not kit.reads_zero and kit.lower <= 0:
        yield row.breach("lower", "must be the first value above 0, because reads_zero says no")
    if not kit.marks:
        return
    if any(left >= right for left, right in pairwise(kit.marks)):
        yield row.breach("marks", "must rise from left to right")
    elif kit.upper != kit.marks[-1]:
        yield row.breach("upper", "must be the last mark")
    elif kit.lower != next((mark for mark in kit.marks if kit.reads_zero or mark > 0), None):
        yield row.breach("lower", "must be the first mark that the kit reads as a number")


def _wait_breaches(row: Row, kit: ListedKit) -> Iterator[Breach]:
    shortest, longest = kit.wait_minutes_min, kit.wait_minutes_max
    if any(minutes is not None and minutes < 0 for minutes in (shortest, longest)):
        yield row.breach("wait_minutes_min", "waiting times must not be negative")
    if shortest is not None and longest is not None and shortest > longest:
        yield row.breach("wait_minutes_min", "must not be above wait_minutes_max")
