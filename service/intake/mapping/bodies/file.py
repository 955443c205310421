"""How the file of a mapping is written: its sheet, letters, separators, numbers and marks of missing."""

from enum import StrEnum
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from service.core.schema import Body
from service.intake.mapping.bodies.columns import Words
from service.intake.mapping.written.words import plain_word

Encoding = Literal["utf-8", "latin-1", "windows-1252", "utf-16"]


class Separator(StrEnum):
    """What parts the columns of a text file."""

    COMMA = "comma"
    SEMICOLON = "semicolon"
    TAB = "tab"


class FileBody(Body):
    """How the file is written."""

    sheet: Annotated[Words | None, Field(description="Of a workbook; null: its only sheet with rows.")] = None
    head_row: Annotated[int, Field(ge=1, le=200, description="Row that names the columns.")] = 1
    encoding: Annotated[
        Encoding,
        Field(description="Of a text file; a byte-order mark is seen by itself."),
    ] = "utf-8"
    separator: Annotated[
        Separator | None,
        Field(
            strict=False,
            description="Of a text file; null: the one with which the columns of the mapping are there.",
        ),
    ] = None
    decimal: Annotated[
        Literal[".", ","] | None,
        Field(
            description="Sign before the decimals; null: a point, or a comma that cannot part thousands; "
            "1,234 is then asked about."
        ),
    ] = None
    thousands: Annotated[
        Literal[",", ".", " ", "'"] | None,
        Field(description="Sign between the thousands; null: numbers with one are refused."),
    ] = None
    missing: list[Words] = Field(
        max_length=50,
        default_factory=list,
        description="What stands in a cell where nothing was measured, beside an empty cell: no reading.",
    )
    not_detected: list[Words] = Field(
        max_length=50,
        default_factory=list,
        description="What stands in a cell where the reading was below the limit (nd, bdl): `<` the "
        "reading's `limit`.",
    )

    @model_validator(mode="after")
    def _signs_and_marks_differ(self) -> Self:
        if self.thousands is not None and self.thousands == (self.decimal or "."):
            raise ValueError("the sign between the thousands cannot be the decimal sign too; say which it is")
        both = {plain_word(mark) for mark in self.missing} & {plain_word(mark) for mark in self.not_detected}
        if both:
            raise ValueError(f"{', '.join(sorted(both))} cannot be both missing and not_detected; choose one")
        return self
