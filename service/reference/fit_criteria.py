"""Whether the default criteria ask something of a parameter that the service knows."""

from collections.abc import Iterator, Mapping

from service.reference.entries import ListedCriterion, ListedParameter
from service.reference.errors import Breach
from service.reference.rows import Row, Table
from service.science.criterion_comparison import FORMULAS

WATER_CLASSES = ("cold", "warm")


def criterion_breaches(
    criteria: Table[ListedCriterion], parameters: Mapping[str, ListedParameter]
) -> Iterator[Breach]:
    """Yield every criterion that asks nothing, asks too much, or is the second one of a kind of stream."""
    seen: dict[tuple[str, str], str] = {}
    for row, criterion in criteria:
        parameter = parameters.get(criterion.parameter)
        if parameter is None:
            yield row.breach("parameter", f"'{criterion.parameter}' is not in parameters.csv")
        elif criterion.unit != parameter.unit:
            yield row.breach("unit", f"is {criterion.unit}, but criteria are compared in {parameter.unit}")
        if criterion.water_class not in {None, *WATER_CLASSES}:
            yield row.breach("water_class", f"must be empty or one of: {', '.join(WATER_CLASSES)}")
        yield from _limit_breaches(row, criterion)
        for water_class in [criterion.water_class] if criterion.water_class else WATER_CLASSES:
            first = seen.setdefault((criterion.parameter, water_class), criterion.code)
            if first != criterion.code:
                said = f"{first} is already the criterion of {criterion.parameter} in {water_class} water"
                yield row.breach("water_class", said)


def _limit_breaches(row: Row, criterion: ListedCriterion) -> Iterator[Breach]:
    limits = [limit for limit in (criterion.at_least, criterion.at_most) if limit is not None]
    if criterion.formula is not None and criterion.formula not in FORMULAS:
        known = ", ".join(FORMULAS)
        yield row.breach("formula", f"'{criterion.formula}' is no formula; known are {known}")
    if bool(limits) == (criterion.formula is not None):
        yield row.breach("at_least", "give limits or a formula, and not both")
    if limits != sorted(limits):
        yield row.breach("at_least", "must not be above at_most")
