"""A mapping of a list of sites: which column is what. JSON or TOML, sent with the file."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from service.core.schema import Body, Note
from service.intake.mapping.bodies.columns import Coded, Column, Measured, Only
from service.intake.mapping.bodies.file import FileBody
from service.intake.mapping.bodies.when import Order


class Degrees(Body):
    """One half of a place: decimal degrees in a column, or degrees, minutes and seconds in columns apart."""

    degrees: Column
    minutes: Column | None = None
    seconds: Column | None = None
    hemisphere: Annotated[
        Column | None, Field(description="Column of N, S, E or W; the numbers then carry no sign.")
    ] = None
    positive: Annotated[
        Literal["north", "south", "east", "west"] | None,
        Field(description="What a number without a sign means; null: north, or east."),
    ] = None

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        if self.seconds is not None and self.minutes is None:
            raise ValueError("seconds need a column of minutes before them")
        if self.hemisphere is not None and self.positive is not None:
            raise ValueError("a column of hemispheres says it already; leave positive out")
        return self


class Pair(Body):
    """Latitude and longitude."""

    latitude: Degrees
    longitude: Degrees

    @model_validator(mode="after")
    def _each_on_its_own_axis(self) -> Self:
        if self.latitude.positive in {"east", "west"} or self.longitude.positive in {"north", "south"}:
            raise ValueError("latitude is positive to the north or south, longitude to the east or west")
        return self


class PlaceMapping(Pair):
    """Where the site is, and a second pair that must agree with the first or stands in for it."""

    second: Annotated[
        Pair | None, Field(description="Taken, and said so, where the first pair is empty.")
    ] = None
    apart_km: Annotated[
        float | None,
        Field(gt=0, le=1000, description="Greatest distance of the two pairs; beyond it a row is refused."),
    ] = None
    datum: Annotated[Coded | None, Field(description="WGS 84, NAD83 or ETRS89; null: WGS 84.")] = None

    @model_validator(mode="after")
    def _second_is_held_against_the_first(self) -> Self:
        if (self.second is None) != (self.apart_km is None):
            raise ValueError("a second pair and apart_km belong together; give both or neither")
        return self


class WatershedMapping(Body):
    """The watershed that holds the site."""

    scheme: Literal["huc", "pfafstetter"]
    code: Column


class DayMapping(Body):
    """A day, alone in its cell or the first of a range."""

    column: Column
    order: Annotated[Order | None, Field(strict=False)] = None
    century: Literal[1900, 2000] | None = None
    bare_date: Literal["yyyymmdd", "serial-1900", "serial-1904"] | None = None
    range_sign: Annotated[
        str | None,
        Field(min_length=1, max_length=5, description="What parts two days in one cell; the first is taken."),
    ] = None


class SiteListMapping(Body):
    """Everything needed to read a list of sites. Whatever it does not name is not read.

    An empty cell says nothing: it never empties what the network knows of a site.
    """

    about: Annotated[Note | None, Field(description="What this is for, in your own words.")] = None
    file: FileBody = FileBody()
    code: Annotated[Coded, Field(description="The site's code; capitals become small letters.")]
    code_sign: Annotated[
        Literal["-", "_"] | None,
        Field(description="What stands for signs and blanks that a code cannot hold; null: refused."),
    ] = None
    name: Coded
    school: Annotated[
        Coded | None, Field(description="Code of the school; null: the one named in the address.")
    ] = None
    stream: Annotated[Coded | None, Field(description="Code of the stream.")] = None
    stream_km: Measured | None = None
    place: PlaceMapping | None = None
    elevation_m: Annotated[Measured | None, Field(description="Metres; feet are metres `times` 0.3048.")] = (
        None
    )
    watershed: WatershedMapping | None = None
    water_class: Annotated[Coded | None, Field(description="cold or warm.")] = None
    time_zone: Annotated[Coded, Field(description="A name of the IANA list, such as America/New_York.")]
    established_on: DayMapping | None = None
    only: list[Only] = Field(max_length=20, default_factory=list)

    @model_validator(mode="after")
    def _each_site_has_its_own_code(self) -> Self:
        if self.code.column is None:
            raise ValueError("each site has a code of its own; name the column of the codes")
        return self
