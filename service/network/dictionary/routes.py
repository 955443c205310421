"""Addresses of the dictionary: what each column of each list is, for people and for programs."""

from enum import StrEnum
from typing import Annotated, Any

from fastapi import APIRouter, Path, Request, Response
from fastapi.responses import JSONResponse

from service.core.formats.data_package import data_package
from service.core.formats.json_schema import json_schema
from service.core.formats.terms import terms_of
from service.core.links import absolute
from service.core.settings import Settings
from service.network.columns import READINGS, SCORES, VISITS
from service.network.coverage.columns import COVERAGE
from service.network.latest.columns import LATEST
from service.sites.columns import SITES

router = APIRouter(prefix="/v1", tags=["ask"])
SCHEMA_TYPE = "application/schema+json"
# The CSV of each list, as seen from the package, so that it holds wherever the service is reached.
WHERE = {
    SITES: "exports/sites.csv",
    VISITS: "exports/visits.csv",
    READINGS: "exports/readings.csv",
    SCORES: "exports/scores.csv",
    LATEST: "sites/latest.csv?limit=1000",
    COVERAGE: "coverage.csv?limit=1000",
}
TABLES = {table.name: table for table in WHERE}
AN_OBJECT: dict[str, Any] = {"schema": {"type": "object"}}


class ListName(StrEnum):
    """A list whose columns are declared."""

    SITES = SITES.name
    VISITS = VISITS.name
    READINGS = READINGS.name
    SCORES = SCORES.name
    LATEST = LATEST.name
    COVERAGE = COVERAGE.name


@router.get("/datapackage.json", responses={200: {"content": {"application/json": AN_OBJECT}}})
def show_data_package(request: Request) -> dict[str, Any]:
    """Show the lists and their columns, with units and terms, as a Frictionless Data Package."""
    settings: Settings = request.app.state.settings
    title = f"{settings.network_name}: visits to streams"
    return data_package(title, list(WHERE.items()), terms_of(settings))


@router.get(
    "/schema/{name}.json",
    response_class=Response,
    responses={200: {"content": {SCHEMA_TYPE: AN_OBJECT}}},
)
def show_schema(request: Request, name: Annotated[ListName, Path(description="Which list.")]) -> Response:
    """Show the JSON Schema of a flat row of a list."""
    table = TABLES[name]
    return JSONResponse(
        json_schema(table, absolute(request, f"/v1/schema/{name}.json")), media_type=SCHEMA_TYPE
    )
