"""Reads what is measured and what it is measured with: ``parameters.csv`` and ``kits.csv``."""

from importlib.resources.abc import Traversable

from service.reference.entries import ListedKit, ListedParameter
from service.reference.errors import Breach
from service.reference.rows import DataFile, Row, Table, read_table

KIT_KINDS = frozenset(
    {"comparator", "titrator", "drop-count", "tube", "thermometer", "meter", "strip", "plate", "tray"}
)
PARAMETERS = DataFile(
    "parameters.csv",
    "id,name,unit,units,wqx_name,wqx_unit,wqx_speciation,physical_min,physical_max,measured,source,evidence",
    ("id",),
)
KITS = DataFile(
    "kits.csv",
    "code,name,kind,parameter,unit,lower,upper,marks,step,accuracy,reads_zero,"
    "wait_minutes_min,wait_minutes_max,tablets,sample_ml,instructions,source,evidence",
    ("code",),
)


def read_parameters(folder: Traversable, breaches: list[Breach]) -> Table[ListedParameter]:
    """Return the parameters; faults go to ``breaches``."""
    return read_table(folder, PARAMETERS, _parameter, breaches)


def read_kits(folder: Traversable, breaches: list[Breach]) -> Table[ListedKit]:
    """Return the kits; faults go to ``breaches``."""
    return read_table(folder, KITS, _kit, breaches)


def _parameter(row: Row) -> ListedParameter:
    return ListedParameter(
        id=row.text("id"),
        name=row.text("name"),
        unit=row.text("unit"),
        units=row.words("units"),
        wqx_name=row.text("wqx_name"),
        wqx_unit=row.text("wqx_unit"),
        wqx_speciation=row.optional_text("wqx_speciation"),
        physical_min=row.number("physical_min"),
        physical_max=row.number("physical_max"),
        measured=row.yes("measured"),
        source=row.text("source"),
        evidence=row.evidence(),
    )


def _kit(row: Row) -> ListedKit:
    return ListedKit(
        code=row.text("code"),
        name=row.text("name"),
        kind=row.choice("kind", KIT_KINDS),
        parameter=row.text("parameter"),
        unit=row.text("unit"),
        lower=row.number("lower"),
        upper=row.number("upper"),
        marks=row.numbers("marks"),
        step=row.optional_number("step"),
        accuracy=row.optional_number("accuracy"),
        reads_zero=row.yes("reads_zero"),
        wait_minutes_min=row.optional_number("wait_minutes_min"),
        wait_minutes_max=row.optional_number("wait_minutes_max"),
        tablets=row.optional_whole("tablets"),
        sample_ml=row.optional_number("sample_ml"),
        instructions=row.text("instructions"),
        source=row.text("source"),
        evidence=row.evidence(),
    )
