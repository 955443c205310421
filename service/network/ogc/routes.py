"""Addresses of the map layers: OGC API - Features, Part 1."""

from collections.abc import Callable
from typing import Annotated, Any

from fastapi import APIRouter, Depends, Query, Request, Response
from fastapi.responses import JSONResponse
from sqlmodel import Session

from service.core.database import RequestSession
from service.core.errors import NotFound
from service.core.links import absolute, link_header
from service.network.ogc.ask import EVERYTHING, box_of, question_of
from service.network.ogc.documents import all_collections, collection, conformance, extent_of, landing
from service.network.ogc.feature_schema import feature_schema, flat_schema
from service.network.ogc.features import feature_of
from service.network.ogc.layers import LAYERS, READINGS, SCORES, SITES, Layer
from service.network.ogc.links import GEOJSON, JSON, SCHEMA, link, self_link
from service.network.ogc.pages import page_of
from service.network.ogc.properties import ReadingProperties, ScoreProperties, SiteProperties
from service.network.ogc.queries import Found, one_of, readings_found, scores_found, sites_found
from service.network.ogc.schemas import (
    Collection,
    Collections,
    Conformance,
    Feature,
    FeaturePage,
    FormatQuery,
    ItemsQuery,
    Landing,
    ReadingItemsQuery,
    ScoreItemsQuery,
)
from service.schools.caller import ReadCaller
from service.schools.unchanged import only_if_changed

router = APIRouter(prefix="/ogc", tags=["map"], dependencies=[Depends(only_if_changed)])
Format = Annotated[FormatQuery, Query()]


class GeoJson(JSONResponse):
    """An answer as GeoJSON."""

    media_type = GEOJSON


class SchemaJson(JSONResponse):
    """An answer as JSON Schema."""

    media_type = SCHEMA


@router.get("/", include_in_schema=False)  # clients ask for both; some lose their headers on a redirect
@router.get("")
def map_layers(request: Request, asked: Format, caller: ReadCaller) -> Landing:
    """Say where the map layers are."""
    return landing(request)


@router.get("/conformance")
def map_conformance(asked: Format, caller: ReadCaller) -> Conformance:
    """Say which parts of OGC API - Features are kept."""
    return conformance()


@router.get("/collections")
def list_collections(
    request: Request, asked: Format, session: RequestSession, caller: ReadCaller
) -> Collections:
    """List the collections of features."""
    return all_collections(request, session)


@router.get("/collections/{code}")
def show_collection(
    code: str, request: Request, asked: Format, session: RequestSession, caller: ReadCaller
) -> Collection:
    """Describe a collection of features."""
    return collection(request, _layer(code), extent_of(session))


@router.get("/collections/{code}/schema", response_class=SchemaJson)
def show_flat_schema(code: str, request: Request, asked: Format, caller: ReadCaller) -> dict[str, Any]:
    """Describe what the features of a collection hold, as one flat JSON Schema."""
    layer = _layer(code)
    return flat_schema(layer, absolute(request, f"{layer.address}/schema"))


@router.get("/collections/{code}/feature-schema", response_class=SchemaJson)
def show_feature_schema(code: str, request: Request, asked: Format, caller: ReadCaller) -> dict[str, Any]:
    """Describe a whole feature of a collection as JSON Schema."""
    layer = _layer(code)
    return feature_schema(layer, absolute(request, f"{layer.address}/feature-schema"))


@router.get("/collections/sites/items", response_class=GeoJson)
def list_site_features(
    request: Request,
    response: Response,
    asked: Annotated[ItemsQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> FeaturePage[SiteProperties]:
    """List sites as features, those without a place last."""
    found = sites_found(question_of(request, asked), box_of(asked))
    return _page(request, response, session, SITES, found, asked)


@router.get("/collections/readings/items", response_class=GeoJson)
def list_reading_features(
    request: Request,
    response: Response,
    asked: Annotated[ReadingItemsQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> FeaturePage[ReadingProperties]:
    """List readings of released visits as features, oldest first, those without a place last."""
    question, box = question_of(request, asked), box_of(asked)
    found = readings_found(question, box, parameter=asked.parameter, flag=asked.flag)
    return _page(request, response, session, READINGS, found, asked)


@router.get("/collections/scores/items", response_class=GeoJson)
def list_score_features(
    request: Request,
    response: Response,
    asked: Annotated[ScoreItemsQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> FeaturePage[ScoreProperties]:
    """List scores of released visits as features, oldest first, those without a place last."""
    question, box = question_of(request, asked), box_of(asked)
    found = scores_found(question, box, index=asked.index, band=asked.band)
    return _page(request, response, session, SCORES, found, asked)


@router.get("/collections/sites/items/{feature}", response_class=GeoJson)
def show_site_feature(
    feature: str, request: Request, asked: Format, session: RequestSession, caller: ReadCaller
) -> Feature[SiteProperties]:
    """Show a site as a feature."""
    return _feature(request, session, SITES, sites_found, feature)


@router.get("/collections/readings/items/{feature}", response_class=GeoJson)
def show_reading_feature(
    feature: str, request: Request, asked: Format, session: RequestSession, caller: ReadCaller
) -> Feature[ReadingProperties]:
    """Show a reading as a feature."""
    return _feature(request, session, READINGS, readings_found, feature)


@router.get("/collections/scores/items/{feature}", response_class=GeoJson)
def show_score_feature(
    feature: str, request: Request, asked: Format, session: RequestSession, caller: ReadCaller
) -> Feature[ScoreProperties]:
    """Show a score as a feature."""
    return _feature(request, session, SCORES, scores_found, feature)


def _layer(code: str) -> Layer:
    for layer in LAYERS:
        if layer.id == code:
            return layer
    raise NotFound(f"There is no such collection; there are {', '.join(layer.id for layer in LAYERS)}.")


def _page(
    request: Request, response: Response, session: Session, layer: Layer, found: Found, asked: ItemsQuery
) -> FeaturePage[Any]:
    page = page_of(request, session, layer, found, asked)
    link_header(response, next((one.href for one in page.links if one.rel == "next"), None))
    return page


def _feature(
    request: Request, session: Session, layer: Layer, find: Callable[..., Found], feature_id: str
) -> Feature[Any]:
    try:
        row = one_of(session, find(EVERYTHING, None), layer.key_of(feature_id))
    except ValueError:
        row = None
    if row is None:
        raise NotFound(f"There is no such feature among the {layer.id}.")
    links = [self_link(request, GEOJSON), link(request, "collection", layer.address, JSON, layer.title)]
    return feature_of(layer, row, links)
