"""What all bodies and queries that cross HTTP have in common: strict, closed, finite."""

import re
from datetime import date, datetime
from typing import Annotated, Any, ClassVar, Self
from zoneinfo import available_timezones

from pydantic import (
    AfterValidator,
    AwareDatetime,
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    model_validator,
)


class Body(BaseModel):
    """A request body: exact types, no unknown keys, no NaN or infinity."""

    model_config = ConfigDict(strict=True, extra="forbid", allow_inf_nan=False, frozen=True)


class Patch(Body):
    """A body that names only what changes. A field may be null only where nothing is a good answer."""

    nullable: ClassVar[frozenset[str]] = frozenset()

    @model_validator(mode="after")
    def _names_something_and_empties_nothing_needed(self) -> Self:
        if not self.model_fields_set:
            raise ValueError("name at least one field to change")
        emptied = [
            name for name in sorted(self.model_fields_set - self.nullable) if getattr(self, name) is None
        ]
        if emptied:
            raise ValueError(f"{', '.join(emptied)}: may be changed but not emptied")
        return self


class Query(BaseModel):
    """The query parameters of a list: all known, each given once."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Answer(BaseModel):
    """A response body."""

    model_config = ConfigDict(extra="forbid", frozen=True)


def _printable(text: str) -> str:
    if any(ord(character) < 32 and character not in "\n\t" for character in text):
        raise ValueError("holds a control character; send plain text")
    return text


EARLIEST_YEAR, LATEST_YEAR = 1900, 2199  # further off, arithmetic with offsets leaves the calendar
RFC_3339 = re.compile(r"\d{4}-\d{2}-\d{2}[Tt ]\d{2}:\d{2}(:\d{2}(\.\d{1,9})?)?([Zz]|[+-]\d{2}:\d{2})")


def _instant_text(value: Any) -> Any:
    if isinstance(value, str) and RFC_3339.fullmatch(value):
        try:
            instant = datetime.fromisoformat(value.upper().replace("Z", "+00:00"))
        except ValueError:
            instant = None
        if instant is not None and EARLIEST_YEAR <= instant.year <= LATEST_YEAR:
            return instant
    raise ValueError("write a date and time with its offset from UTC, such as 2026-03-12T10:15:00-05:00")


def _date_text(value: Any) -> Any:
    if isinstance(value, str) and re.fullmatch(r"\d{4}-\d{2}-\d{2}", value):
        try:
            return date.fromisoformat(value)
        except ValueError:
            pass
    raise ValueError("write a day that exists as year-month-day, such as 2026-03-12")


def _known_zone(name: str) -> str:
    if name not in available_timezones():
        raise ValueError("is not a time zone name of the IANA list; write one such as America/New_York")
    return name


Line = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(_printable)]
Note = Annotated[str, Field(max_length=2000), AfterValidator(_printable)]
CODE_PATTERN = r"^[a-z0-9][a-z0-9_-]{0,47}$"
Code = Annotated[
    str,
    Field(
        pattern=CODE_PATTERN,
        description="Lower-case letters, digits, hyphens and underscores; never changes once given.",
    ),
]
Instant = Annotated[AwareDatetime, BeforeValidator(_instant_text)]
Day = Annotated[date, BeforeValidator(_date_text)]
TimeZone = Annotated[str, Field(max_length=64), AfterValidator(_known_zone)]
