"""What each field of the form is called where it is told apart from the others."""

import re
from collections.abc import Mapping
from functools import cache

from service.intake.field_order import BESIDE, Sheet, fields
from service.intake.form.flow_fields import flow_titles
from service.intake.paper.content import label_of
from service.reference.load import load_catalogue
from service.science.qa.wording import sentence
from service.visits.gauging_body import MOST_VERTICALS

_READING = re.compile(r"r-(?P<parameter>[a-z0-9_]+)-(?P<part>[a-z0-9_]+)", re.ASCII)
_ANIMAL = re.compile(r"a-(?P<row>\d{1,3})-(?P<part>taxon|count|life_stage)", re.ASCII)
_PARTS = {"mark": "beyond the scale", "kit": "kit", "again": "second time", "again_mark": "second time"}
_ANIMAL_PARTS = {"taxon": "", "count": ", count", "life_stage": ", stage"}


def title_of(name: str) -> str:
    """Return what a field is called; the name itself where the form has no such field."""
    if reading := _READING.fullmatch(name):
        return _reading(name, **reading.groupdict())
    if animal := _ANIMAL.fullmatch(name):
        return f"Animal {int(animal['row']) + 1}{_ANIMAL_PARTS[animal['part']]}"
    return _plain().get(name, name)


def _reading(name: str, parameter: str, part: str) -> str:
    known = load_catalogue().parameters.get(parameter)
    if known is None:
        return name
    told = _PARTS | {one.field: label_of(one).lower() for one in fields(Sheet.VISITS) if one.kind in BESIDE}
    more = told.get(part, "")
    return sentence(known.name.replace("degC", "°C")) + (f", {more}" if more else "")


@cache
def _plain() -> Mapping[str, str]:
    named = {one.field: label_of(one) for sheet in Sheet for one in fields(sheet) if one.head}
    return (
        named
        | flow_titles(MOST_VERTICALS)
        | {
            "key": "Key",
            "fold": "Time",
            "none_found": "No animal found",
            "comma": "Comma",
            "counted_only": "Groups counted",
        }
    )
