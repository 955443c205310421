"""What crosses HTTP about sites, watersheds and the network's own kits."""

import math
from datetime import date
from typing import Annotated

from pydantic import Field, model_validator

from service.core.formats.negotiate import FormatQuery
from service.core.paging import PageQuery
from service.core.schema import Answer, Body, Code, Day, Line, Patch, Query, TimeZone
from service.science.watershed_code import WatershedCode, read_code
from service.sites.box import BoxFilter

Latitude = Annotated[float, Field(ge=-90, le=90, description="Degrees north, WGS 84.")]
Longitude = Annotated[float, Field(ge=-180, le=180, description="Degrees east, WGS 84.")]
# A kit's numbers are no larger than a reading can be, and its steps no finer than a number can follow.
OnScale = Annotated[float, Field(ge=-1e9, le=1e9)]
Fineness = Annotated[float, Field(ge=1e-6, le=1e9)]
Elevation = Annotated[float, Field(ge=-430, le=6000, description="Metres above sea level.")]
StreamKm = Annotated[float, Field(ge=0, le=7000, description="Kilometres upstream of the mouth.")]
WaterClass = Annotated[str, Field(pattern="^(cold|warm)$", description="Cold-water or warm-water stream.")]
PublicDecimals = Annotated[
    int, Field(ge=0, le=6, description="Decimals of a degree that the public sees of the place.")
]


class WatershedBody(Body):
    """A watershed by its scheme and code."""

    scheme: Annotated[str, Field(max_length=16)]
    code: Annotated[str, Field(max_length=24, description="Digits as text, so that leading zeros stay.")]

    @model_validator(mode="after")
    def _is_legal(self) -> "WatershedBody":
        self.read()
        return self

    def read(self) -> WatershedCode:
        """Return the legal code."""
        return read_code(self.scheme, self.code)


class NamedWatershedBody(WatershedBody):
    """A watershed with its name."""

    name: Line


class SiteBody(Body):
    """A new site."""

    code: Code
    name: Line
    school: Code
    stream: Code | None = None
    stream_km: StreamKm | None = None
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    public_decimals: PublicDecimals = 3
    elevation_m: Elevation | None = None
    watershed: WatershedBody | None = None
    water_class: WaterClass | None = None
    time_zone: Annotated[TimeZone | None, Field(description="Left out: the school's.")] = None
    established_on: Annotated[Day | None, Field(description="First day on which the site existed.")] = None

    @model_validator(mode="after")
    def _place_is_whole(self) -> "SiteBody":
        if (self.latitude is None) != (self.longitude is None):
            raise ValueError("give latitude and longitude, or neither")
        if self.latitude == 0 and self.longitude == 0:
            raise ValueError("0, 0 lies in the open sea; leave both out if they are not known")
        return self


class SitePatch(Patch):
    """What may change about a site; a field left out stays as it is."""

    nullable = frozenset(
        {
            "stream",
            "stream_km",
            "latitude",
            "longitude",
            "elevation_m",
            "watershed",
            "water_class",
            "established_on",
        }
    )

    name: Line | None = None
    stream: Code | None = None
    stream_km: StreamKm | None = None
    latitude: Latitude | None = None
    longitude: Longitude | None = None
    public_decimals: PublicDecimals | None = None
    elevation_m: Elevation | None = None
    watershed: WatershedBody | None = None
    water_class: WaterClass | None = None
    time_zone: TimeZone | None = None
    established_on: Day | None = None


class WatershedAnswer(Answer):
    """A watershed by its scheme and code."""

    scheme: str
    code: str


class SiteAnswer(Answer):
    """A site. Whoever does not own it sees its place rounded to ``public_decimals``."""

    code: str
    name: str
    school: str
    stream: str | None
    stream_km: float | None
    latitude: float | None
    longitude: float | None
    public_decimals: int
    elevation_m: float | None
    watershed: WatershedAnswer | None
    water_class: str | None
    time_zone: str
    established_on: date | None


class SitePage(Answer):
    """A page of sites."""

    items: list[SiteAnswer]
    next: str | None


class SiteChoice(Query):
    """Which sites."""

    watershed: Annotated[
        str | None,
        Field(max_length=40, description="Code of a watershed that holds them: `0207` or `huc:0207`."),
    ] = None
    stream: Annotated[str | None, Field(max_length=64)] = None
    school: Annotated[str | None, Field(max_length=64)] = None
    bbox: BoxFilter = None


class SiteQuery(SiteChoice, PageQuery, FormatQuery):
    """Which page of which sites, and how written."""


class KitBody(Body):
    """A kit of the network's own; all numbers in ``unit``."""

    code: Code
    name: Line
    kind: Annotated[
        str, Field(pattern="^(comparator|titrator|drop-count|tube|thermometer|meter|strip|plate|tray)$")
    ]
    parameter: Code
    unit: Line
    lower: Annotated[OnScale, Field(description="Smallest value that can be read as a number.")]
    upper: Annotated[OnScale, Field(description="Largest value that can be read as a number.")]
    marks: Annotated[
        list[OnScale] | None, Field(min_length=2, max_length=60, description="The only values it can show.")
    ] = None
    step: Annotated[Fineness | None, Field(description="Spacing of an even scale.")] = None
    accuracy: Annotated[Fineness | None, Field(description="Half-width of its stated uncertainty.")] = None
    reads_zero: Annotated[bool, Field(description="Whether 0 can be a measured value on it.")]
    wait_minutes_min: Annotated[float | None, Field(ge=0, le=600)] = None
    wait_minutes_max: Annotated[float | None, Field(ge=0, le=600)] = None
    tablets: Annotated[int | None, Field(ge=1, le=10, description="Tablets that go into the sample.")] = None
    sample_ml: Annotated[float | None, Field(gt=0, le=1000, description="Water they go into, mL.")] = None

    @model_validator(mode="after")
    def _scale_makes_sense(self) -> "KitBody":
        if (self.marks is None) == (self.step is None):
            raise ValueError("give marks (a comparator's values) or step (an even scale), one of the two")
        if self.lower > self.upper:
            raise ValueError("lower must not be greater than upper")
        if self.marks is not None and self.marks != sorted(set(self.marks)):
            raise ValueError("marks must rise, each once")
        if (self.wait_minutes_min or 0) > (self.wait_minutes_max or math.inf):
            raise ValueError("wait_minutes_min must not be greater than wait_minutes_max")
        return self


class KitAnswer(KitBody):
    """A kit of the network's own."""


class KitPage(Answer):
    """A page of the network's own kits."""

    items: list[KitAnswer]
    next: str | None


class LotBody(Body):
    """A school's own box of a kit."""

    school: Code
    code: Code
    kit: Code
    expires_on: Annotated[Day | None, Field(description="Last day on which its reagents are good.")] = None


class LotAnswer(Answer):
    """A school's own box of a kit, and the day of its newest blank if that showed colour."""

    school: str
    code: str
    kit: str
    expires_on: date | None
    blank_failed_on: date | None


class LotPage(Answer):
    """A page of boxes."""

    items: list[LotAnswer]
    next: str | None
