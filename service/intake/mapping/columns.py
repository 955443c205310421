"""How a mapping names the columns of a sheet, and the words that stand in them."""

from typing import Annotated, Self

from pydantic import AfterValidator, Field, model_validator

from service.core.schema import Body, one_line

Words = Annotated[str, Field(max_length=200)]
ColumnName = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(one_line)]
ColumnNumber = Annotated[int, Field(ge=1, le=1000)]
Column = Annotated[
    ColumnName | ColumnNumber,
    Field(
        description="The column's name in the head row, or its number from 1 where the name is empty or twice."
    ),
]


class Coded(Body):
    """A value that is the same for the whole sheet, or that a column gives in words of its own.

    Without `values` the cell's own text is the value.
    """

    value: Annotated[Words | None, Field(description="The same in every row.")] = None
    column: Column | None = None
    values: Annotated[
        dict[Words, Words | None] | None,
        Field(max_length=2000, description="What each word of the column stands for; null: nothing."),
    ] = None
    refuse_others: Annotated[
        bool, Field(description="A word that `values` does not list is refused; else it is nothing.")
    ] = True

    @model_validator(mode="after")
    def _comes_from_somewhere(self) -> Self:
        if (self.value is None) == (self.column is None):
            raise ValueError("give a value that is the same for all rows, or the column that holds it")
        if self.values is not None and self.column is None:
            raise ValueError("values are words of a column; name the column")
        return self


class Measured(Body):
    """A number that is the same for the whole sheet, or that a column gives."""

    value: Annotated[float | None, Field(ge=-1e9, le=1e9, description="The same in every row.")] = None
    column: Column | None = None
    times: Annotated[
        float | None,
        Field(
            gt=0, le=1e9, description="What the written number is multiplied by, to be in the unit wanted."
        ),
    ] = None

    @model_validator(mode="after")
    def _comes_from_somewhere(self) -> Self:
        if (self.value is None) == (self.column is None):
            raise ValueError("give a number that is the same for all rows, or the column that holds it")
        return self


class Only(Body):
    """Which rows the sheet is meant to give; the others are left out, and the report says so."""

    column: Column
    words: Annotated[list[Words] | None, Field(min_length=1, max_length=500)] = None
    but_not: Annotated[list[Words] | None, Field(min_length=1, max_length=500)] = None
    at_least: float | None = None
    at_most: float | None = None
    why: Annotated[Words, Field(min_length=1, description="Said of each row that is left out.")]

    @model_validator(mode="after")
    def _asks_something(self) -> Self:
        if self.words is None and self.but_not is None and self.at_least is None and self.at_most is None:
            raise ValueError("say which words or numbers of the column are wanted")
        return self
