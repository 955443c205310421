"""What the readings of a sheet are: a column for each parameter (wide), or one reading a row (long)."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from service.core.schema import Body, Code, Line
from service.intake.mapping.bodies.columns import Coded, Column, Measured, Words, require_different
from service.reference.load import load_catalogue

Procedure = Literal[
    "seconds_in_water", "minutes_waited", "bubble_free", "undisturbed_water", "tablets", "sample_ml"
]


class CensoringBody(Body):
    """A column that says which readings are only limits, beside what the cell itself says (<0.5, 60+)."""

    column: Column
    values: Annotated[
        dict[Words, Literal["<", ">", ""] | None],
        Field(min_length=1, max_length=100, description="Null or an empty text: a reading like any other."),
    ]

    @model_validator(mode="after")
    def _words_differ(self) -> Self:
        require_different(self.values)
        return self


class WrittenUnit(Body):
    """A column that says in which unit each reading is."""

    column: Column
    values: dict[Words, Line] = Field(
        max_length=100,
        default_factory=dict,
        description="The accepted unit that each word stands for; an accepted unit stands for itself.",
    )

    @model_validator(mode="after")
    def _words_differ(self) -> Self:
        require_different(self.values)
        return self


class ReadingKind(Body):
    """What one kind of reading is: parameter, unit as accepted by `/v1/visits`, kit."""

    parameter: Code
    unit: Line | None = None
    times: Annotated[
        float | None,
        Field(gt=0, le=1e9, description="What the written number is multiplied by, to be in that unit."),
    ] = None
    kit: Code | None = None
    kit_lot: Code | None = None

    @model_validator(mode="after")
    def _is_known(self) -> Self:
        known = load_catalogue().parameters
        parameter = known.get(self.parameter)
        if parameter is None:
            raise ValueError(
                f"{self.parameter} is not a parameter of this network; known are {', '.join(known)}"
            )
        if self.unit is not None and self.unit not in parameter.units:
            wanted = ", ".join(f'"{unit}"' for unit in parameter.units)
            raise ValueError(f"{parameter.name} is given in {wanted}, not in {self.unit}")
        return self

    def _require_unit(self) -> None:
        parameter = load_catalogue().parameters[self.parameter]
        if self.unit is None and parameter.id != "ph":
            wanted = " or ".join(f'"{unit}"' for unit in parameter.units)
            raise ValueError(f"the unit is missing: is {parameter.name} in {wanted}?")


class HowRead(Body):
    """Columns beside a reading that say more about it."""

    censored: CensoringBody | None = None
    limit: Annotated[
        Measured | None,
        Field(
            description="The limit of detection: taken with `<` where the cell holds a word of "
            "`file.not_detected`, or with the sign of `censored` where the cell is empty."
        ),
    ] = None
    replicate: Annotated[
        Column | None, Field(description="Number of the repeat, from 1; null: in the order of the rows.")
    ] = None
    kit_column: Annotated[Coded | None, Field(description="The kit of each row; overrules `kit`.")] = None
    lot_column: Annotated[Coded | None, Field(description="The school's own box of that kit.")] = None
    procedure: dict[Procedure, Column] = Field(
        default_factory=dict, description="Columns that say how it was measured."
    )


class ReadingColumn(ReadingKind, HowRead):
    """A column of readings, of a sheet that has a column for each parameter (wide)."""

    column: Column
    unit_column: Annotated[
        WrittenUnit | None, Field(description="Where each row says its unit; in place of `unit`.")
    ] = None

    @model_validator(mode="after")
    def _has_one_unit(self) -> Self:
        if self.unit_column is None:
            self._require_unit()
        elif self.unit is not None:
            raise ValueError("give unit or unit_column, not both")
        else:
            require_units(self.parameter, self.unit_column)
        return self


def require_units(parameter: str, written: WrittenUnit) -> None:
    """Refuse words for units that the parameter is not given in.

    Raises
    ------
    ValueError
        Naming the units that are accepted.
    """
    known = load_catalogue().parameters[parameter]
    for word, unit in written.values.items():
        if unit not in known.units:
            raise ValueError(f'"{word}": {known.name} is given in {", ".join(known.units)}, not in {unit}')


class LongKind(ReadingKind):
    """What one word of the parameter's column is."""

    @model_validator(mode="after")
    def _has_a_unit(self) -> Self:
        self._require_unit()
        return self


class LongBody(HowRead):
    """A sheet with one reading a row: a column names what was measured (long)."""

    parameter: Column
    value: Column
    unit: Annotated[
        Column | None, Field(description="Where the sheet writes the unit; it is checked in every row.")
    ] = None
    kinds: Annotated[
        dict[Words, LongKind],
        Field(
            min_length=1,
            max_length=500,
            description="What each word of the parameter's column is; where a unit "
            "column is named, the key is the word, a bar and the unit as written: `Nitrate|mg/L as N`.",
        ),
    ]
    left_out: list[Words] = Field(
        max_length=1000,
        default_factory=list,
        description="Words of the parameter's column that are not wanted.",
    )

    @model_validator(mode="after")
    def _words_differ(self) -> Self:
        require_different(self.kinds)
        if self.unit is not None and (bare := [word for word in self.kinds if "|" not in word]):
            raise ValueError(f'write "{bare[0]}|unit as the sheet writes it", for a unit column is named')
        return self
