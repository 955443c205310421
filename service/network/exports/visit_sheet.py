"""A sheet for people: one row a visit, one column a parameter, with its unit in the head of the column.

A censored value stands in its column as the number that its limit is; two columns at the end say of which
parameters the truth lies beyond the number, and which numbers are in doubt. Failed readings are left out. Of
several readings of one parameter the first counts. Programs find all of it in the list of readings.
"""

from collections.abc import Sequence

from service.core.formats.table import Column, FlatRow, Kind, Table
from service.network.columns import VISIT_COLUMNS
from service.network.listing import Fields, Listing
from service.network.pages import PARTED_BY, VISIT_LIST
from service.network.schemas import VisitChoice
from service.reference.load import load_catalogue
from service.science.flags import Flag

CENSORED = Column(
    "censored", Kind.TEXT, "Whose truth lies below (<) or above (>) the number.", may_be_empty=True
)
SUSPECT = Column("suspect", Kind.TEXT, "Whose number is in doubt: flag 3.", may_be_empty=True)


def visit_sheet(parameters: Sequence[str]) -> Listing[VisitChoice]:
    """Return the list of visits with a column for each of these parameters."""
    units = {name: load_catalogue().parameters[name].unit for name in parameters}
    heads = {name: f"{name} ({unit})" for name, unit in units.items()}
    measured = [
        Column(heads[name], Kind.NUMBER, f"The visit's {name.replace('_', ' ')}.", unit, may_be_empty=True)
        for name, unit in units.items()
    ]

    def flat(row: Fields) -> FlatRow:
        counted: dict[str, Fields] = {}
        for reading in row["readings"]:
            if reading["value"] is not None and reading["flag"] != Flag.FAIL:
                counted.setdefault(reading["parameter"], reading)
        shown = {name: counted[name] for name in parameters if name in counted}
        values = {head: shown[name]["value"] if name in shown else None for name, head in heads.items()}
        beyond = [
            f"{name} {one['censored']} {one['value']:g} {one['unit']}"
            for name, one in shown.items()
            if one["censored"]
        ]
        doubted = [name for name, one in shown.items() if one["flag"] == Flag.SUSPECT]
        told = {CENSORED.name: PARTED_BY.join(beyond) or None, SUSPECT.name: PARTED_BY.join(doubted) or None}
        return row | values | told

    table = Table(
        name="visit-sheet",
        title="Visits",
        text="One row a visit, one column a parameter. Failed readings are left out.",
        columns=(*VISIT_COLUMNS, *measured, CENSORED, SUSPECT),
        key=("visit_id",),
    )
    return Listing(table, (), VISIT_LIST.rows, VISIT_LIST.number, flat)
