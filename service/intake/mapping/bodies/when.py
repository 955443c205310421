"""When the water was read, as a mapping tells it: the order of a date, the clock, and the zone it showed."""

import re
from enum import StrEnum
from functools import cache
from typing import Annotated, Literal, Self
from zoneinfo import available_timezones

from pydantic import AfterValidator, Discriminator, Field, Tag, model_validator

from service.core.schema import Body, Day
from service.intake.mapping.bodies.columns import Column, Words, require_different

CLOCK = r"^([01]\d|2[0-3]):[0-5]\d$"
OFFSET = re.compile(r"UTC([+-](0\d|1[0-4]):[0-5]\d)?", re.ASCII)


@cache
def _zone_names() -> frozenset[str]:
    return frozenset(available_timezones())


def _zone(name: str) -> str:
    if OFFSET.fullmatch(name) or name in _zone_names():
        return name
    raise ValueError(
        "is neither a name of the IANA list of time zones, such as America/New_York, nor an offset such as "
        "UTC-05:00"
    )


def _clock_zone(name: str) -> str:
    return name if name in {"site", "written"} else _zone(name)


def _kind(value: object) -> str:
    return "words" if isinstance(value, dict | ZoneWords) else "zone"


def _date_kind(value: object) -> str:
    return "parts" if isinstance(value, dict | DateParts) else "column"


Zone = Annotated[str, Field(max_length=64), AfterValidator(_zone)]
ClockZone = Annotated[str, Field(max_length=64), AfterValidator(_clock_zone)]


class Order(StrEnum):
    """In which order the numbers of a written date come."""

    YEAR_MONTH_DAY = "ymd"
    DAY_MONTH_YEAR = "dmy"
    MONTH_DAY_YEAR = "mdy"


class DateParts(Body):
    """A date whose year, month and day stand in columns of their own."""

    year: Column
    month: Column
    day: Column


class ZoneWords(Body):
    """Words for the zone of each row, such as CDT, which mean different things in different places."""

    column: Annotated[
        Column | None, Field(description="Where the word stands; null: behind the clock, as in 7:50 CDT.")
    ] = None
    values: dict[Words, Zone] = Field(
        max_length=200,
        default_factory=dict,
        description="What each word means; a zone's name or an offset such as UTC-05:00 means itself.",
    )

    @model_validator(mode="after")
    def _words_differ(self) -> Self:
        require_different(self.values)
        if self.column is None and not self.values:
            raise ValueError("say what the words behind the clock mean, or which column gives the zone")
        return self


class WhenBody(Body):
    """When the water was read: one order of date for the whole column, and the clock it was read on."""

    date: Annotated[
        Annotated[Column, Tag("column")] | Annotated[DateParts, Tag("parts")], Discriminator(_date_kind)
    ]
    order: Annotated[
        Order | None,
        Field(strict=False, description="Needed where dates are text, unless the year comes first in full."),
    ] = None
    century: Annotated[
        Literal[1900, 2000] | None, Field(description="Of years with two digits; null: those are refused.")
    ] = None
    bare_date: Annotated[
        Literal["yyyymmdd", "serial-1900", "serial-1904"] | None,
        Field(
            description="What a date that is one whole number means: 20250312, or the days that a "
            "spreadsheet counts from 1900 or 1904 (45000); null: those are refused."
        ),
    ] = None
    days: dict[Words, Day] = Field(
        max_length=500,
        default_factory=dict,
        description="Words of the date's column that stand for a day, such as `Trip 1`.",
    )
    time: Annotated[
        Column | None, Field(description="Column of the clock; the date's own where both stand in one cell.")
    ] = None
    bare_clock: Annotated[bool, Field(description="752 and 7.52 mean 7:52.")] = False
    midnight_is_a_time: Annotated[
        bool,
        Field(
            description="00:00 beside a date in one cell is a time; else it is what programs write when only "
            "the day was noted."
        ),
    ] = False
    assumed_time: Annotated[
        str | None,
        Field(
            pattern=CLOCK,
            description="Taken where no time was noted, and noted so; null: such rows are refused.",
        ),
    ] = None
    zone: Annotated[
        Annotated[ClockZone, Tag("zone")] | Annotated[ZoneWords, Tag("words")],
        Discriminator(_kind),
        Field(
            description="Of the clock: a zone's name, an offset (UTC-08:00), `site` for the site's own, "
            "`written` where each cell carries its offset, or words."
        ),
    ]
    written_offset_is_wrong: Annotated[
        bool,
        Field(
            description="The cells carry an offset (often a Z) that is not true; `zone` holds. Else the two "
            "must agree."
        ),
    ] = False
    fold: Annotated[
        Literal["first", "second"] | None,
        Field(description="Of an hour that the clock shows twice in autumn; null: such rows are refused."),
    ] = None

    @model_validator(mode="after")
    def _fits_together(self) -> Self:
        require_different(self.days)
        if self.written_offset_is_wrong and self.zone == "written":
            raise ValueError("zone is `written`, so the written offset must be right; give the true zone")
        return self
