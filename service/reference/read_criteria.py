"""Reads the default criteria: ``criteria.csv``."""

from importlib.resources.abc import Traversable

from service.reference.entries import ListedCriterion
from service.reference.errors import Breach
from service.reference.rows import DataFile, Row, Table, read_table

CRITERIA = DataFile(
    "criteria.csv",
    "code,name,parameter,unit,water_class,at_least,at_most,formula,statement,source,evidence",
    ("code",),
)


def read_criteria(folder: Traversable, breaches: list[Breach]) -> Table[ListedCriterion]:
    """Return the default criteria; faults go to ``breaches``."""
    return read_table(folder, CRITERIA, _criterion, breaches)


def _criterion(row: Row) -> ListedCriterion:
    return ListedCriterion(
        code=row.text("code"),
        name=row.text("name"),
        parameter=row.text("parameter"),
        unit=row.text("unit"),
        water_class=row.optional_text("water_class") or None,
        at_least=row.optional_number("at_least"),
        at_most=row.optional_number("at_most"),
        formula=row.optional_text("formula") or None,
        statement=row.text("statement"),
        source=row.text("source"),
        evidence=row.evidence(),
    )
