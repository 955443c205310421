"""The fields of a visit in the order of the work at the creek, and the cautions; for sheet and paper."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files

from service.reference.catalogue import Catalogue
from service.reference.taxon_name import Matched
from service.science.types import VisitKind
from service.visits.schemas import Flow, Gear, Ice, LifeStage, Weather

YES, NO = "yes", "no"


class Sheet(StrEnum):
    """One of the two lists that a visit fills: itself, and its animals."""

    VISITS = "visits"
    CATCH = "catch"


class Kind(StrEnum):
    """What is written into a field."""

    PLACE = "place"
    TIME = "time"
    CODE = "code"
    CHOICE = "choice"
    NUMBER = "number"
    TEXT = "text"
    READING = "reading"  # the field is a parameter's id; head and words come from the catalogue
    PROCEDURE = "procedure"  # how a reading was taken, asked beside it where its kit makes it matter
    BOX = "box"  # which of the school's own boxes of the kit; asked beside the reading too


BESIDE = frozenset({Kind.PROCEDURE, Kind.BOX})


@dataclass(frozen=True, slots=True)
class Field:
    """One thing to write down. ``choices`` names a list of :func:`choices`.

    ``usual``: asked for unless somebody chooses. ``example`` is of an invented visit; of a reading it is in
    the parameter's unit of storage.
    """

    sheet: Sheet
    field: str
    kind: Kind
    head: str
    choices: str
    usual: bool
    example: str
    write: str


@cache
def fields(sheet: Sheet) -> tuple[Field, ...]:
    """Return the fields of one list, in the order of the work."""
    return tuple(
        Field(
            sheet=Sheet(row["sheet"]),
            field=row["field"],
            kind=Kind(row["kind"]),
            head=row["head"],
            choices=row["choices"],
            usual=row["usual"] == YES,
            example=row["example"],
            write=row["write"],
        )
        for row in _rows("field_order.csv")
        if row["sheet"] == sheet
    )


@cache
def cautions() -> tuple[tuple[str, str], ...]:
    """Return each topic with what to mind."""
    return tuple((row["topic"], row["text"]) for row in _rows("cautions.csv"))


def choices(catalogue: Catalogue) -> Mapping[str, tuple[str, ...]]:
    """Return the words that may be chosen from, by the name of their list; sites are the network's own."""
    return {
        "kind": tuple(VisitKind),
        "weather": tuple(Weather),
        "flow": tuple(Flow),
        "ice": tuple(Ice),
        "yes_no": (YES, NO),
        "letter": ("R", "C", "D"),
        "life_stage": tuple(LifeStage),
        "gear": tuple(Gear),
        "taxon": animal_names(catalogue),
    }


def animal_names(catalogue: Catalogue) -> tuple[str, ...]:
    """Return one name in common use for each animal that has one, then all scientific names."""
    common: dict[str, str] = {}
    for entry in catalogue.names.values():
        if entry.kind_of_name == "student" and isinstance(catalogue.resolve_taxon(entry.name), Matched):
            common.setdefault(entry.taxon or entry.name, entry.name)
    return (*sorted(common.values(), key=str.casefold), *sorted(catalogue.taxa))


def _rows(name: str) -> list[dict[str, str]]:
    text = (files("service.intake") / name).read_text("utf-8")
    return list(csv.DictReader(text.splitlines()))
