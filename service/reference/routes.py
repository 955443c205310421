"""The catalogue: what can be measured and with what, the animals, criteria, checks and indices. Public."""

from dataclasses import asdict
from typing import Any, Literal

from fastapi import APIRouter
from pydantic import Field

from service.core.schema import Answer
from service.reference.catalogue import Catalogue
from service.reference.load import load_catalogue
from service.science.flags import SCHEME

router = APIRouter(prefix="/v1/catalogue", tags=["catalogue"])
Part = Literal["parameters", "kits", "taxa", "criteria", "indices", "checks"]


class CataloguePage(Answer):
    """One part of the reference data, whole."""

    version: str = Field(description="Names the content of the reference data; stored with every score.")
    flag_scheme: str = SCHEME
    items: list[dict[str, Any]]


@router.get("/{part}")
def show_catalogue(part: Part) -> CataloguePage:
    """Show a part of the reference data, each row with its source."""
    catalogue = load_catalogue()
    return CataloguePage(version=catalogue.version, items=_items(catalogue, part))


def _items(catalogue: Catalogue, part: Part) -> list[dict[str, Any]]:
    if part == "checks":
        return [
            asdict(check)
            | {
                "stage": check.stage.name.lower(),
                "limits": [asdict(row) for row in catalogue.limits.get(id_, ())],
            }
            for id_, check in catalogue.checks.items()
        ]
    if part == "indices":
        return [asdict(definition) for definition in catalogue.all_definitions.values()]
    if part == "criteria":
        return [asdict(criterion) for criterion in catalogue.criteria.values()]
    if part == "parameters":
        return [asdict(parameter) for parameter in catalogue.parameters.values()]
    if part == "kits":
        return [asdict(kit) for kit in catalogue.kits.values()]
    return [asdict(taxon) for taxon in catalogue.taxa.values()]
