"""A mapping: which column of somebody's sheet is what. Kept per school, as JSON or TOML."""

from enum import StrEnum
from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from service.core.schema import Body, Code, Line, Note, TimeZone
from service.intake.mapping.columns import Coded, Column, Measured, Only, Words
from service.visits.schemas import Gear

OFFSET = r"^UTC([+-]\d{2}:\d{2})?$"
CLOCK = r"^([01]\d|2[0-3]):[0-5]\d$"


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
        Literal["utf-8", "latin-1", "windows-1252", "utf-16"],
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
        Field(description="Sign before the decimals; null: either, but 1,234 is asked about."),
    ] = None
    missing: Annotated[
        list[Words],
        Field(
            max_length=50,
            description="What stands in a cell where nothing was measured, beside an empty cell.",
        ),
    ] = []


class Order(StrEnum):
    """In which order the numbers of a written date come."""

    YEAR_MONTH_DAY = "ymd"
    DAY_MONTH_YEAR = "dmy"
    MONTH_DAY_YEAR = "mdy"


class WhenBody(Body):
    """When the water was read: one order of date for the whole column, and the clock it was read on."""

    date: Column
    order: Annotated[Order | None, Field(strict=False, description="Needed where dates are text.")] = None
    century: Annotated[
        Literal[1900, 2000] | None, Field(description="Of years with two digits; null: those are refused.")
    ] = None
    time: Annotated[
        Column | None, Field(description="Column of the clock; the date's own where both stand in one cell.")
    ] = None
    bare_clock: Annotated[bool, Field(description="752 means 7:52 in the time's column.")] = False
    assumed_time: Annotated[
        str | None,
        Field(
            pattern=CLOCK,
            description="Taken where no time was noted, and noted so; null: such rows are refused.",
        ),
    ] = None
    zone: Annotated[
        TimeZone | Annotated[str, Field(pattern=OFFSET)] | Literal["site", "written"] | Coded,
        Field(
            description="Of the clock: a zone's name, an offset such as UTC-08:00, `site` for the site's own, "
            "`written` where each cell carries its offset, or a column of words."
        ),
    ]
    fold: Annotated[
        Literal["first", "second"] | None,
        Field(description="Of an hour that the clock shows twice in autumn; null: such rows are refused."),
    ] = None


class CensoringBody(Body):
    """A column that says which readings are only limits, beside what the cell itself says (<0.5, >60, 60+)."""

    column: Column
    values: dict[Words, Literal["<", ">"] | None]


class ReadingBody(Body):
    """What one kind of reading is: parameter, unit as accepted by `/v1/visits`, kit."""

    parameter: Code
    unit: Line | None = None
    times: Annotated[
        float | None,
        Field(gt=0, le=1e9, description="What the written number is multiplied by, to be in that unit."),
    ] = None
    kit: Code | None = None
    kit_lot: Code | None = None


class ReadingColumn(ReadingBody):
    """A column of readings, of a sheet that has a column for each parameter (wide)."""

    column: Column
    censored: CensoringBody | None = None
    replicate: Column | None = None
    procedure: Annotated[
        dict[
            Literal[
                "seconds_in_water",
                "minutes_waited",
                "bubble_free",
                "undisturbed_water",
                "tablets",
                "sample_ml",
            ],
            Column,
        ],
        Field(description="Columns that say how it was measured."),
    ] = {}


class LongBody(Body):
    """A sheet with one reading a row: a column names what was measured (long)."""

    parameter: Column
    value: Column
    unit: Column | None = None
    limit: Annotated[
        Column | None, Field(description="Column of the detection limit, where the value is empty.")
    ] = None
    censored: CensoringBody | None = None
    replicate: Column | None = None
    kinds: Annotated[
        dict[Words, ReadingBody],
        Field(
            min_length=1,
            max_length=500,
            description="What each word of the parameter's column is; where a unit "
            "column is named, the key is the word, a bar and the unit as written: `Nitrate|mg/L as N`.",
        ),
    ]
    left_out: Annotated[
        list[Words],
        Field(max_length=1000, description="Words of the parameter's column that are not wanted."),
    ] = []


class CatchMapping(Body):
    """The animals: one row each (a column of names), or a column for each kind."""

    taxon: Annotated[Column | None, Field(description="Column of names, for one row an animal kind.")] = None
    count: Column | None = None
    letters: Annotated[bool, Field(description="The counts are letters: R 1-9, C 10-99, D 100 or more.")] = (
        False
    )
    columns: Annotated[
        dict[Words, Line], Field(max_length=500, description="For a column each: its name, and the animal's.")
    ] = {}
    life_stage: Coded | None = None
    gear: Annotated[Gear | None, Field(strict=False)] = None
    minutes: Measured | None = None
    area_m2: Measured | None = None
    jabs: Measured | None = None
    mesh_um: Measured | None = None
    sorted_share: Annotated[
        Measured | None, Field(description="Part of the sample that was sorted, 0 to 1.")
    ] = None
    counted_only: list[Line] | None = None

    @model_validator(mode="after")
    def _rows_or_columns(self) -> Self:
        if (self.taxon is None) == (not self.columns):
            raise ValueError("name the column of the animals' names, or list the columns of the animals")
        if (self.taxon is None) != (self.count is None):
            raise ValueError("a column of names needs a column of counts beside it")
        return self


class ConditionsMapping(Body):
    """The weather and the stream."""

    air_temperature: Measured | None = None
    air_temperature_unit: Literal["degC", "degF"] = "degC"
    rain_48h_mm: Measured | None = None
    weather: Coded | None = None
    flow: Coded | None = None
    ice: Coded | None = None


class Mapping(Body):
    """Everything needed to read one kind of sheet. Whatever it does not name is not read."""

    about: Annotated[Note | None, Field(description="What this is for, in your own words.")] = None
    file: FileBody = FileBody()
    site: Annotated[
        Coded, Field(description="The site's code; a word that is no code is looked for among names.")
    ]
    when: WhenBody
    team: Coded | None = None
    kind: Annotated[Coded | None, Field(description="routine, field-replicate or field-blank.")] = None
    apart: Annotated[
        list[Column],
        Field(max_length=10, description="Columns that tell visits of one site and moment apart."),
    ] = []
    only: Annotated[list[Only], Field(max_length=20)] = []
    readings: Annotated[list[ReadingColumn], Field(max_length=100)] = []
    long: LongBody | None = None
    catch: CatchMapping | None = None
    conditions: ConditionsMapping = ConditionsMapping()
    notes: Annotated[
        dict[Column, Line],
        Field(max_length=30, description="Columns that go into the private notes, with a word before each."),
    ] = {}

    @model_validator(mode="after")
    def _reads_something(self) -> Self:
        if not (self.readings or self.long or self.catch):
            raise ValueError("names nothing to read: give readings, long or catch")
        if self.readings and self.long:
            raise ValueError(
                "a sheet has a column for each parameter (readings) or one reading a row (long), not both"
            )
        return self
