"""What describes the map layers: the landing page, what is kept of the standard, and the collections."""

from fastapi import Request
from sqlmodel import Session

from service.core.settings import Settings
from service.network.ogc.layers import LAYERS, Layer
from service.network.ogc.links import HTML, JSON, collection_links, licence_link, link, self_link
from service.network.ogc.places import box_around
from service.network.ogc.queries import days_of_visits, places
from service.network.ogc.schemas import (
    Collection,
    Collections,
    Conformance,
    Extent,
    Landing,
    SpatialExtent,
    TemporalExtent,
)

# Nothing is claimed that is not served: a client asks for whatever it finds here.
KEPT = tuple(f"http://www.opengis.net/spec/ogcapi-features-1/1.0/conf/{part}" for part in ("core", "geojson"))


def landing(request: Request) -> Landing:
    """Return where everything else is found."""
    settings: Settings = request.app.state.settings
    return Landing(
        title=settings.network_name,
        description="Sites, readings and scores of a network of schools that watch streams, for maps. "
        "These are screening results.",
        attribution=settings.attributed_to,
        links=[
            self_link(request, JSON),
            link(request, "service-desc", "/openapi.json", JSON, "Every address, for programs"),
            link(request, "service-doc", "/docs", HTML, "Every address, for people"),
            link(request, "conformance", "/ogc/conformance", JSON, "What is kept of the standard"),
            link(request, "data", "/ogc/collections", JSON, "The collections"),
            licence_link(request),
        ],
    )


def conformance() -> Conformance:
    """Return the parts of the standard that are kept."""
    return Conformance(conforms_to=list(KEPT))


def all_collections(request: Request, session: Session) -> Collections:
    """Return every collection."""
    extent = extent_of(session)
    return Collections(
        collections=[collection(request, layer, extent) for layer in LAYERS],
        links=[self_link(request, JSON), licence_link(request)],
    )


def collection(request: Request, layer: Layer, extent: Extent) -> Collection:
    """Return the description of a collection."""
    settings: Settings = request.app.state.settings
    return Collection(
        id=layer.id,
        title=layer.title,
        description=layer.description,
        attribution=settings.attributed_to,
        extent=extent,
        links=collection_links(request, layer),
    )


def extent_of(session: Session) -> Extent:
    """Return where and when the features of every collection are, as far as the public is told."""
    box, days = box_around(places(session)), days_of_visits(session)
    spatial = None if box is None else SpatialExtent(bbox=[box])
    temporal = None
    if days is not None:
        first, last = days
        temporal = TemporalExtent(interval=[[f"{first}T00:00:00Z", f"{last}T23:59:59Z"]])
    return Extent(spatial=spatial, temporal=temporal)
