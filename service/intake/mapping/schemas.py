"""A mapping: which column of somebody's sheet is what. Kept per school, as JSON or TOML."""

from collections import Counter
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from service.core.schema import Body, Line, Note
from service.intake.mapping.bodies.catch import AnimalColumn, CatchMapping
from service.intake.mapping.bodies.columns import Coded, Column, Measured, Only
from service.intake.mapping.bodies.file import FileBody, Separator
from service.intake.mapping.bodies.listed_words import FlowWord, IceWord, KindWord, WeatherWord, YesNoWord
from service.intake.mapping.bodies.readings import (
    CensoringBody,
    LongBody,
    LongKind,
    ReadingColumn,
    WrittenUnit,
)
from service.intake.mapping.bodies.when import DateParts, Order, WhenBody, ZoneWords

__all__ = [
    "AnimalColumn",
    "CatchMapping",
    "CensoringBody",
    "Coded",
    "ConditionsMapping",
    "DateParts",
    "FileBody",
    "LongBody",
    "LongKind",
    "Mapping",
    "Measured",
    "NoteColumn",
    "Only",
    "Order",
    "ReadingColumn",
    "Separator",
    "WhenBody",
    "WrittenUnit",
    "ZoneWords",
]


class ConditionsMapping(Body):
    """The weather and the stream."""

    air_temperature: Measured | None = None
    air_temperature_unit: Literal["degC", "degF"] = "degC"
    rain_48h_mm: Measured | None = None
    weather: WeatherWord | None = None
    flow: FlowWord | None = None
    ice: IceWord | None = None
    dead_fish: Annotated[YesNoWord | None, Field(description="Dead or gasping fish were seen: yes, no.")] = (
        None
    )


class NoteColumn(Body):
    """A column that goes into the private notes, with a word before it."""

    column: Column
    word: Line


class Mapping(Body):
    """Everything needed to read one kind of sheet. Whatever it does not name is not read."""

    about: Annotated[Note | None, Field(description="What this is for, in your own words.")] = None
    file: FileBody = FileBody()
    site: Annotated[
        Coded, Field(description="The site's code; a word that is no code is looked for among names.")
    ]
    when: WhenBody
    team: Coded | None = None
    kind: Annotated[KindWord | None, Field(description="routine, field-replicate or field-blank.")] = None
    apart: list[Column] = Field(
        max_length=10,
        default_factory=list,
        description="Columns that tell visits of one site and moment apart.",
    )
    carried_down: list[Column] = Field(
        max_length=20,
        default_factory=list,
        description="Columns that are written once for several rows: an empty cell means the one above it.",
    )
    only: list[Only] = Field(max_length=20, default_factory=list)
    readings: list[ReadingColumn] = Field(max_length=100, default_factory=list)
    long: LongBody | None = None
    catch: CatchMapping | None = None
    conditions: ConditionsMapping = ConditionsMapping()
    notes: list[NoteColumn] = Field(
        max_length=30, default_factory=list, description="Columns that go into the private notes."
    )

    @model_validator(mode="after")
    def _reads_something(self) -> Self:
        if not (self.readings or self.long or self.catch):
            raise ValueError("names nothing to read: give readings, long or catch")
        if self.readings and self.long:
            raise ValueError(
                "a sheet has a column for each parameter (readings) or one reading a row (long), not both"
            )
        twice = [name for name, times in Counter(map(_source, self.readings)).items() if times > 1]
        if twice:
            raise ValueError(f"column {twice[0][0]} is named twice for {twice[0][1]}; keep one of them")
        return self


def _source(reading: ReadingColumn) -> tuple[str | int, str]:
    return reading.column, reading.parameter
