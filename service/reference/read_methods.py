"""Reads the rules: checks with their limits, and the numbered definitions of the indices."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from importlib.resources.abc import Traversable

from service.reference.entries import AlertLimit, ListedCheck, ListedDefinition, ListedLimit
from service.reference.errors import Breach
from service.reference.rows import DataFile, Row, Table, read_table
from service.science.qa.check import Stage
from service.science.scores.index import Band

SCOPES = frozenset({"reading", "visit"})
STAGES: Mapping[str, Stage] = {stage.name.lower(): stage for stage in Stage}
CHECKS = DataFile("checks.csv", "id,version,scope,stage,title,looks_for,source,evidence", ("id",))
LIMITS = DataFile(
    "qa_limits.csv", "check,parameter,limit,value,unit,source,evidence", ("check", "parameter", "limit")
)
ALERT_LIMITS = DataFile("alert_limits.csv", "limit,value,unit,source,evidence", ("limit",))
DEFINITIONS = DataFile(
    "index_definitions.csv",
    "index,definition,title,decimals,input,source,evidence,notes",
    ("index", "definition"),
)
BANDS = DataFile(
    "index_bands.csv",
    "index,definition,position,band,lower,upper,source,evidence",
    ("index", "definition", "position"),
)
CONSTANTS = DataFile(
    "index_constants.csv",
    "index,definition,constant,value,source,evidence",
    ("index", "definition", "constant"),
)

DefinitionKey = tuple[str, int]


@dataclass(frozen=True, slots=True)
class BandRow:
    """A band and its place, for one definition."""

    key: DefinitionKey
    position: int
    band: Band


@dataclass(frozen=True, slots=True)
class ConstantRow:
    """A named number of one definition."""

    key: DefinitionKey
    name: str
    value: Decimal


def read_checks(folder: Traversable, breaches: list[Breach]) -> Table[ListedCheck]:
    """Return the checks; faults go to ``breaches``."""
    return read_table(folder, CHECKS, _check, breaches)


def read_limits(folder: Traversable, breaches: list[Breach]) -> Table[ListedLimit]:
    """Return the limits of the checks; faults go to ``breaches``."""
    return read_table(folder, LIMITS, _limit, breaches)


def read_alert_limits(folder: Traversable, breaches: list[Breach]) -> Table[AlertLimit]:
    """Return the limits beyond which a reading cannot wait; faults go to ``breaches``."""
    return read_table(folder, ALERT_LIMITS, _alert_limit, breaches)


def read_definitions(folder: Traversable, breaches: list[Breach]) -> Table[ListedDefinition]:
    """Return the definitions without their bands and constants; faults go to ``breaches``."""
    return read_table(folder, DEFINITIONS, _definition, breaches)


def read_bands(folder: Traversable, breaches: list[Breach]) -> Table[BandRow]:
    """Return the bands of all definitions; faults go to ``breaches``."""
    return read_table(folder, BANDS, _band, breaches)


def read_constants(folder: Traversable, breaches: list[Breach]) -> Table[ConstantRow]:
    """Return the constants of all definitions; faults go to ``breaches``."""
    return read_table(folder, CONSTANTS, _constant, breaches)


def _check(row: Row) -> ListedCheck:
    return ListedCheck(
        id=row.text("id"),
        version=row.whole("version", lowest=1),
        scope=row.choice("scope", SCOPES),
        stage=STAGES.get(row.choice("stage", STAGES), Stage.SCALE),
        title=row.text("title"),
        looks_for=row.text("looks_for"),
        source=row.text("source"),
        evidence=row.evidence(),
    )


def _limit(row: Row) -> ListedLimit:
    return ListedLimit(
        check=row.text("check"),
        parameter=row.text("parameter"),
        limit=row.text("limit"),
        value=row.number("value"),
        unit=row.text("unit"),
        source=row.text("source"),
        evidence=row.evidence(),
    )


def _alert_limit(row: Row) -> AlertLimit:
    row.text("source")
    row.evidence()
    return AlertLimit(name=row.text("limit"), value=row.number("value"), unit=row.text("unit"))


def _definition(row: Row) -> ListedDefinition:
    index, number = _key(row)
    return ListedDefinition(
        index=index,
        number=number,
        decimals=row.whole("decimals"),
        title=row.text("title"),
        input=row.text("input"),
        source=row.text("source"),
        evidence=row.evidence(),
        notes=row.optional_text("notes"),
    )


def _band(row: Row) -> BandRow:
    band = Band(row.text("band"), row.optional_decimal("lower"), row.optional_decimal("upper"))
    _note_source(row)
    return BandRow(_key(row), row.whole("position", lowest=1), band)


def _constant(row: Row) -> ConstantRow:
    _note_source(row)
    return ConstantRow(_key(row), row.text("constant"), row.decimal("value"))


def _key(row: Row) -> DefinitionKey:
    return row.text("index"), row.whole("definition", lowest=1)


def _note_source(row: Row) -> None:
    # Bands and constants go into the definition without their source; it must be in the file all the same.
    row.text("source")
    row.evidence()
