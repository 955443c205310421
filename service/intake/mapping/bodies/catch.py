"""The animals of a sheet: one row each, or a column for each kind."""

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from service.core.schema import Body, Line
from service.intake.mapping.bodies.columns import Column, Measured, Words, require_different
from service.intake.mapping.bodies.listed_words import GearWord, LifeStageWord
from service.visits.schemas import LifeStage


class AnimalColumn(Body):
    """A column that holds the counts of one kind of animal."""

    column: Column
    taxon: Annotated[Line, Field(description="The animal, by the name the class uses or a scientific name.")]
    life_stage: Annotated[LifeStage | None, Field(strict=False)] = None


class CatchMapping(Body):
    """The animals: one row each (a column of names), or a column for each kind."""

    taxon: Annotated[Column | None, Field(description="Column of names, for one row an animal kind.")] = None
    count: Column | None = None
    letters: Annotated[bool, Field(description="The counts are letters: R 1-9, C 10-99, D 100 or more.")] = (
        False
    )
    letter_words: dict[Words, Literal["R", "C", "D"]] = Field(
        max_length=50,
        default_factory=dict,
        description="What the sheet's own words for abundance mean, such as `few` for R.",
    )
    found_only: Annotated[
        bool,
        Field(
            description="The sheet says what was found and not how many: a row for each find, or a mark "
            "(x, yes, 1) in the column of counts or of the animal."
        ),
    ] = False
    columns: list[AnimalColumn] = Field(
        max_length=300, default_factory=list, description="For a column each."
    )
    life_stage: Annotated[
        LifeStageWord | None, Field(description="Of the animals of a row, for one row an animal kind.")
    ] = None
    gear: GearWord | None = None
    minutes: Measured | None = None
    area_m2: Measured | None = None
    jabs: Measured | None = None
    mesh_um: Measured | None = None
    sorted_share: Annotated[
        Measured | None, Field(description="Part of the sample that was sorted, above 0 up to 1.")
    ] = None
    counted_only: Annotated[
        list[Line] | None,
        Field(min_length=1, max_length=50, description="The groups that were counted; null: all animals."),
    ] = None

    @model_validator(mode="after")
    def _rows_or_columns(self) -> Self:
        if (self.taxon is None) == (not self.columns):
            raise ValueError("name the column of the animals' names, or list the columns of the animals")
        if self.count is not None and self.taxon is None:
            raise ValueError("a column of counts needs a column of names beside it")
        if self.taxon is not None and self.count is None and not self.found_only:
            raise ValueError(
                "a column of names needs a column of counts beside it; where nobody counted, say "
                "found_only = true"
            )
        if self.found_only and self.letters:
            raise ValueError("letters say how many there were, and found_only that nobody knows; choose one")
        if self.letter_words and not self.letters:
            raise ValueError("letter_words stand for letters; say letters = true")
        require_different(self.letter_words)
        if self.columns and self.life_stage is not None:
            raise ValueError("life_stage is for one row an animal; give it to each of the columns")
        return self
