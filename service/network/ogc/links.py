"""Links of the map layers: absolute, each with its media type, as clients follow nothing less."""

from collections.abc import Sequence
from urllib.parse import urlencode

from fastapi import Request

from service.core.links import absolute, own_path
from service.core.paging import write_cursor
from service.core.settings import Settings
from service.network.ogc.layers import Layer
from service.network.ogc.schemas import Link

JSON, HTML, CSV = "application/json", "text/html", "text/csv"
GEOJSON, SCHEMA = "application/geo+json", "application/schema+json"
FLAT_SCHEMA = "http://www.opengis.net/def/rel/ogc/1.0/schema"
OF_ONE_PAGE = frozenset({"cursor", "limit", "offset"})


def link(request: Request, rel: str, path: str, kind: str, title: str) -> Link:
    """Return a link to a path of the service."""
    return Link(href=absolute(request, path), rel=rel, type=kind, title=title)


def self_link(request: Request, kind: str) -> Link:
    """Return the link of what is asked for to itself, as it was asked for."""
    query = f"?{request.url.query}" if request.url.query else ""
    return link(request, "self", own_path(request) + query, kind, "This document")


def next_page(request: Request, limit: int, key: Sequence[str]) -> Link:
    """Return the link to the page after a key, with every filter of this one."""
    kept = [(name, text) for name, text in request.query_params.multi_items() if name not in OF_ONE_PAGE]
    query = urlencode([*kept, ("limit", str(limit)), ("cursor", write_cursor(key))])
    return link(request, "next", f"{own_path(request)}?{query}", GEOJSON, "The next page")


def licence_link(request: Request) -> Link:
    """Return the link to the licence of the data."""
    settings: Settings = request.app.state.settings
    return Link(href=settings.licence_url, rel="license", type=HTML, title="Licence of the data")


def collection_links(request: Request, layer: Layer) -> list[Link]:
    """Return the links of a collection, the same in the list of them and alone.

    Of two spellings of the link to the schema of a feature, older releases of a widespread reader look for
    the one with a capital letter only; newer ones look for the flat schema.
    """
    schema = f"{layer.address}/feature-schema"
    return [
        link(request, "self", layer.address, JSON, layer.title),
        link(request, "items", f"{layer.address}/items", GEOJSON, f"{layer.title} as GeoJSON"),
        link(request, "describedby", schema, SCHEMA, "Names, types and units of the properties"),
        link(request, "describedBy", schema, SCHEMA, "Names, types and units of the properties"),
        link(request, FLAT_SCHEMA, f"{layer.address}/schema", SCHEMA, "The same, flat"),
        link(request, "enclosure", f"/v1/exports/{layer.id}.csv", CSV, f"All {layer.id} as a table"),
        licence_link(request),
    ]
