"""Whether the rules in the files and the checks and indices in the code are the same ones."""

from collections.abc import Collection, Iterator, Mapping, Sequence
from itertools import pairwise

from service.reference.entries import AlertLimit, ListedCheck, ListedLimit, ListedParameter
from service.reference.errors import Breach
from service.reference.rows import Row, Table
from service.science.qa.check import Check, ReadingCheck

EVERY_PARAMETER = "*"
SPAN = ("fail_low", "suspect_low", "suspect_high", "fail_high")
LIMITS_FILE = "qa_limits.csv"

LimitTable = Mapping[tuple[str, str], Mapping[str, tuple[Row, ListedLimit]]]


def check_breaches(listed: Table[ListedCheck], checks: Sequence[Check]) -> Iterator[Breach]:
    """Yield every check that is in the code or in ``checks.csv`` but not the same in both."""
    registered = {check.id: check for check in checks}
    for row, entry in listed:
        check = registered.get(entry.id)
        if check is None:
            yield row.breach("id", f"'{entry.id}' is no check of service/science/qa/registry.py")
            continue
        scope = "reading" if isinstance(check, ReadingCheck) else "visit"
        for column, here, there in (
            ("version", entry.version, check.version),
            ("scope", entry.scope, scope),
            ("stage", entry.stage.name.lower(), check.stage.name.lower()),
        ):
            if here != there:
                yield row.breach(column, f"says {here}, but the code of {entry.id} says {there}")
    for missing in registered.keys() - {entry.id for _, entry in listed}:
        yield Breach("checks.csv", None, "id", f"has no row for the check '{missing}'; add one")


def limit_breaches(
    limits: Table[ListedLimit], checks: Sequence[Check], parameters: Mapping[str, ListedParameter]
) -> Iterator[Breach]:
    """Yield every limit that belongs nowhere, every one that is missing, and spans that do not nest."""
    registered = {check.id: check for check in checks}
    table: dict[tuple[str, str], dict[str, tuple[Row, ListedLimit]]] = {}
    for row, entry in limits:
        if entry.check not in registered:
            yield row.breach("check", f"'{entry.check}' is no check of service/science/qa/registry.py")
        if entry.parameter not in {EVERY_PARAMETER, *parameters}:
            yield row.breach("parameter", f"'{entry.parameter}' is neither in parameters.csv nor *")
        elif entry.parameter != EVERY_PARAMETER and _is_other_unit(entry.unit, parameters[entry.parameter]):
            stored = parameters[entry.parameter].unit
            yield row.breach("unit", f"is {entry.unit}, but limits are compared in {stored}")
        table.setdefault((entry.check, entry.parameter), {})[entry.limit] = (row, entry)
    for check in checks:
        yield from _missing_limits(check, table, parameters)
    for rows in table.values():
        yield from _span_breaches(rows)


def alert_limit_breaches(listed: Table[AlertLimit], needs: Collection[str]) -> Iterator[Breach]:
    """Yield alert limits that no alert asks for, and those that one asks for in vain."""
    for row, entry in listed:
        if entry.name not in needs:
            yield row.breach("limit", f"'{entry.name}' is no limit of service/science/alerts.py")
    for missing in sorted(set(needs) - {entry.name for _, entry in listed}):
        yield Breach("alert_limits.csv", None, "limit", f"has no row for '{missing}'; add one")


def _is_other_unit(unit: str, parameter: ListedParameter) -> bool:
    # Counts, days and factors have units of their own; only another unit of the same parameter is a slip.
    return unit in parameter.units and unit != parameter.unit


def _missing_limits(
    check: Check, table: LimitTable, parameters: Mapping[str, ListedParameter]
) -> Iterator[Breach]:
    for parameter in _parameters_to_serve(check, table):
        if parameter not in {EVERY_PARAMETER, *parameters}:
            where = f"the check '{check.id}' serves '{parameter}', which is not in parameters.csv"
            yield Breach(LIMITS_FILE, None, "parameter", where)
            continue
        there = (
            table.get((check.id, EVERY_PARAMETER), {}).keys() | table.get((check.id, parameter), {}).keys()
        )
        for needed in check.needs:
            if needed not in there:
                said = f"lacks the limit '{needed}' of the check '{check.id}' for {parameter}; add a row"
                yield Breach(LIMITS_FILE, None, "limit", said)


def _parameters_to_serve(check: Check, table: LimitTable) -> Sequence[str]:
    """Return for which parameters the limits of a check must be complete; ``*`` stands for all at once."""
    if not isinstance(check, ReadingCheck):
        return (EVERY_PARAMETER,)
    if check.parameters:
        return sorted(check.parameters)
    own = sorted(parameter for check_id, parameter in table if check_id == check.id)
    return [parameter for parameter in own if parameter != EVERY_PARAMETER] or (EVERY_PARAMETER,)


def _span_breaches(rows: Mapping[str, tuple[Row, ListedLimit]]) -> Iterator[Breach]:
    """Yield spans that are upside down, or whose suspect span reaches out of the fail span."""
    present = [rows[name] for name in SPAN if name in rows]
    for (_, lower), (row, upper) in pairwise(present):
        if lower.value > upper.value:
            said = f"{upper.limit} {upper.value:g} must not be below {lower.limit} {lower.value:g}"
            yield row.breach("value", said)
