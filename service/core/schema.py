"""What all bodies and queries that cross HTTP have in common: strict, closed, finite."""

import re
import unicodedata
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


# What Unicode's property Default_Ignorable_Code_Point says nobody sees, but for what chooses the form of the
# character before it, and U+FFF0 to U+FFFB, U+FFFE and U+FFFF, which are no text. Names that look alike must
# be alike, and a mark that turns the direction of writing makes a name read as another.
_UNSEEN = re.compile(
    "[\u00ad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180e\u200b-\u200f\u202a-\u202e\u2060-\u206f\u3164\ufeff\uffa0"
    "\ufff0-\ufffb\ufffe\uffff\U000e0000-\U000e00ff]"
)
# Joiners have a meaning between the letters of some scripts, and between the parts of some pictures.
_JOINED = re.compile("(?<=[^\x00-\x7f])[\u200c\u200d](?=[^\x00-\x7f])")


def is_blank(text: str) -> bool:
    """Tell whether a text has no character that can be seen."""
    return not _UNSEEN.sub("", text).replace("\u2800", " ").strip()  # the empty pattern of Braille


def one_line(text: str) -> str:
    """Return a text that is one line of characters that can be seen.

    Raises
    ------
    ValueError
        It holds another character, or nothing but blanks.
    """
    if any(unicodedata.category(character) in {"Cc", "Zl", "Zp"} for character in text):
        raise ValueError("holds a control character or a line break; write it on one line")
    if unseen := _UNSEEN.search(_JOINED.sub("", text)):
        number = f"U+{ord(unseen.group()):04X}"
        raise ValueError(f"holds a character that nobody can see ({number}); type it anew, do not paste it")
    if is_blank(text):
        raise ValueError("is blank; write something that can be read")
    return text


def _lines(text: str) -> str:
    if any(unicodedata.category(character) == "Cc" and character not in "\r\n\t" for character in text):
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


Line = Annotated[str, Field(min_length=1, max_length=120), AfterValidator(one_line)]
Note = Annotated[str, Field(max_length=2000), AfterValidator(_lines)]
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
