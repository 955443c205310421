"""How a mapping names the columns of a sheet, and the words and numbers that stand in them."""

from typing import Annotated, Self

from pydantic import AfterValidator, Discriminator, Field, Tag, model_validator

from service.core.schema import Body, Note, one_line
from service.intake.mapping.written.words import plain_word

Words = Annotated[Note, Field(max_length=200)]
ColumnName = Annotated[str, Field(min_length=1, max_length=200), AfterValidator(one_line)]
ColumnNumber = Annotated[int, Field(ge=1, le=1000)]


def name_or_number(value: object) -> str:
    """Tell which of the two a column is given by, so that only faults of that one are told."""
    return "number" if isinstance(value, int) else "name"


Column = Annotated[
    Annotated[ColumnName, Tag("name")] | Annotated[ColumnNumber, Tag("number")],
    Discriminator(name_or_number),
    Field(description="Its name in the head row, or its number from 1 where the name is empty or double."),
]


class Coded(Body):
    """A value that is the same for the whole sheet, or that a column gives in words of its own.

    Without `values` the cell's own text is the value. Capitals and blanks make no difference.
    """

    value: Annotated[Words | None, Field(description="The same in every row.")] = None
    column: Column | None = None
    values: Annotated[
        dict[Words, Words | None] | None,
        Field(
            max_length=2000,
            description="What each word of the column stands for; null or an empty text: nothing.",
        ),
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
        require_different(self.values or ())
        return self


def require_different(words: object) -> None:
    """Refuse words that differ only in capitals and blanks, for a cell could mean either.

    Raises
    ------
    ValueError
        Naming the first word that comes twice.
    """
    assert isinstance(words, dict | list | tuple)
    seen: dict[str, str] = {}
    for word in words:
        if plain_word(word) in seen:
            raise ValueError(f'"{seen[plain_word(word)]}" and "{word}" are the same word; keep one of them')
        seen[plain_word(word)] = word


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
    words: Annotated[
        list[Words] | None,
        Field(min_length=1, max_length=500, description="Wanted words; an empty text is an empty cell."),
    ] = None
    but_not: Annotated[list[Words] | None, Field(min_length=1, max_length=500)] = None
    at_least: Annotated[float | None, Field(ge=-1e9, le=1e9)] = None
    at_most: Annotated[float | None, Field(ge=-1e9, le=1e9)] = None
    why: Annotated[Words, Field(min_length=1, description="Said of each row that is left out.")]

    @model_validator(mode="after")
    def _asks_something(self) -> Self:
        if self.words is None and self.but_not is None and self.at_least is None and self.at_most is None:
            raise ValueError("say which words or numbers of the column are wanted")
        return self
