"""What crosses HTTP as OGC API - Features: parameters in, GeoJSON and descriptions of it out."""

from typing import Annotated, Generic, Literal, TypeVar

from pydantic import Field

from service.core.paging import PageQuery
from service.core.schema import Answer, Query
from service.network.ogc.properties import ReadingProperties, ScoreProperties, SiteProperties
from service.network.schemas import FlagFilter
from service.visits.ask import Name

FURTHEST_OFFSET = 10_000_000
CRS84 = "http://www.opengis.net/def/crs/OGC/1.3/CRS84"
Properties = TypeVar("Properties", SiteProperties, ReadingProperties, ScoreProperties)


class FormatQuery(Query):
    """In which format."""

    f: Annotated[Literal["json"], Field(description="The only format of this address.")] = "json"


class ItemsQuery(PageQuery):
    """Which features: by place, time, watershed, site, stream and school."""

    f: Annotated[Literal["json", "geojson"], Field(description="Both are GeoJSON.")] = "json"
    bbox: Annotated[
        str | None,
        Field(
            max_length=200,
            description="Box that holds their place: west,south,east,north in degrees. What has no place "
            "lies in every box.",
            examples=["-87.5,43.1,-87.2,43.6"],
        ),
    ] = None
    datetime: Annotated[
        str | None,
        Field(
            max_length=100,
            description="Instant, day or interval, open at one end by `..`; of an instant its day counts, as "
            "visits are public with their local date.",
            examples=["2026-03-01T00:00:00Z/..", "2026-03-12"],
        ),
    ] = None
    offset: Annotated[
        int,
        Field(ge=0, le=FURTHEST_OFFSET, description="Features to leave out first; for pages follow `next`."),
    ] = 0
    watershed: Annotated[
        str | None,
        Field(max_length=40, description="Code of a watershed that holds the site: `0207` or `huc:0207`."),
    ] = None
    site: Annotated[Name | None, Field(description="Code of the site.")] = None
    stream: Annotated[Name | None, Field(description="Code of the stream.")] = None
    school: Annotated[Name | None, Field(description="Code of the school.")] = None


class ReadingItemsQuery(ItemsQuery):
    """Which readings."""

    parameter: Annotated[Name | None, Field(description="What was measured.")] = None
    flag: Annotated[FlagFilter, Field(description="Flag of the reading.")] = None


class ScoreItemsQuery(ItemsQuery):
    """Which scores."""

    index: Annotated[Name | None, Field(description="Id of the index.")] = None
    band: Annotated[Name | None, Field(description="Name of the band.")] = None


class Link(Answer):
    """A link to something related, with its media type."""

    href: str
    rel: str
    type: str
    title: str


class Landing(Answer):
    """Where everything else is found."""

    title: str
    description: str
    attribution: str
    links: list[Link]


class Conformance(Answer):
    """The parts of the standard that are kept."""

    conforms_to: Annotated[list[str], Field(serialization_alias="conformsTo")]


class SpatialExtent(Answer):
    """Boxes that hold every place: west, south, east, north in degrees."""

    bbox: list[list[float]]
    crs: str = CRS84


class TemporalExtent(Answer):
    """Intervals that hold every time."""

    interval: list[list[str]]
    trs: str = "http://www.opengis.net/def/uom/ISO-8601/0/Gregorian"


class Extent(Answer):
    """Where and when the features are; a part is left out where there is nothing yet."""

    spatial: Annotated[SpatialExtent | None, Field(exclude_if=lambda part: part is None)]
    temporal: Annotated[TemporalExtent | None, Field(exclude_if=lambda part: part is None)]


class Collection(Answer):
    """A collection of features."""

    id: str
    title: str
    description: str
    attribution: str
    extent: Extent
    item_type: Annotated[Literal["feature"], Field(serialization_alias="itemType")] = "feature"
    crs: tuple[str, ...] = (CRS84,)
    links: list[Link]


class Collections(Answer):
    """All collections of features."""

    collections: list[Collection]
    links: list[Link]


class Point(Answer):
    """A place, rounded for the public: degrees east, degrees north."""

    type: Literal["Point"] = "Point"
    coordinates: Annotated[list[float], Field(min_length=2, max_length=2)]


class Feature(Answer, Generic[Properties]):
    """One feature; on a page without links of its own."""

    type: Literal["Feature"] = "Feature"
    id: str
    geometry: Point | None
    properties: Properties
    links: Annotated[list[Link], Field(exclude_if=lambda links: not links)]


class FeaturePage(Answer, Generic[Properties]):
    """A page of features. ``numberMatched`` is exact, or left out: on later pages, and of very many."""

    type: Literal["FeatureCollection"] = "FeatureCollection"
    features: list[Feature[Properties]]
    links: list[Link]
    number_matched: Annotated[
        int | None, Field(serialization_alias="numberMatched", exclude_if=lambda number: number is None)
    ]
    number_returned: Annotated[int, Field(serialization_alias="numberReturned")]
