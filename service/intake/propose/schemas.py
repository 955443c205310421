"""What a proposal says: a mapping as far as it is certain, and a question for everything that is not."""

from typing import Annotated, Any

from pydantic import Field

from service.core.schema import Answer, Query
from service.intake.propose.head_words import Certainty
from service.visits.ask import Name

Json = str | bool | int | float | list[Any] | dict[str, Any] | None


class ProposeQuery(Query):
    """Whose sheet it is, and which of its sheets is meant."""

    school: Annotated[Name | None, Field(description="The school; of a school's own key it is known.")] = None
    sheet: Annotated[
        str | None, Field(max_length=200, description="Of a workbook; null: the one with most in it.")
    ] = None


class Choice(Answer):
    """One answer to a question."""

    value: Annotated[Json, Field(description="What to put into the mapping; null takes the place out of it.")]
    text: str


class Question(Answer):
    """Something that the sheet does not say for certain."""

    about: Annotated[
        str, Field(description="Place in the mapping (JSON pointer, RFC 6901) that the answer is put at.")
    ]
    column: Annotated[str, Field(description="As the head row names it, with its letter; empty: no column.")]
    question: str
    choices: list[Choice]
    fill_in: Annotated[
        dict[str, str | None] | None,
        Field(description="Words of the sheet, to be given their meaning; then put at `about` as a whole."),
    ] = None
    write: Annotated[str, Field(description="What may be put there if no choice fits; empty: nothing.")] = ""
    needed: Annotated[bool, Field(description="Without an answer the mapping cannot be used.")]


class ColumnAnswer(Answer):
    """What a column seems to be, and why."""

    number: int
    name: str
    seems: Annotated[str, Field(description="Empty where nobody can tell.")]
    certainty: Certainty
    why: str
    used: Annotated[bool, Field(description="The proposed mapping reads it.")]
    remarks: list[str]


class SiteWord(Answer):
    """A word of the site's column."""

    word: str
    rows: int
    site: Annotated[str | None, Field(description="The site that it is; null: none of the school's.")]
    near: Annotated[str, Field(description="Sites that are written almost so; never taken by itself.")]


class TaxonWord(Answer):
    """A name of an animal that stands for no taxon, or for more than one."""

    name: str
    rows: int
    told: str


class TaxaAnswer(Answer):
    """How many of the animals' names are known; the others with what may be meant."""

    names: int
    known: int
    others: list[TaxonWord]


class Proposal(Answer):
    """A mapping as far as it is certain, with its doubts."""

    text: str
    mapping: dict[str, Any]
    complete: Annotated[bool, Field(description="Nothing that is needed is open; the mapping can be used.")]
    sheet: str
    rows: int
    is_whole: Annotated[bool, Field(description="All rows were looked at, not only the first.")]
    questions: list[Question]
    columns: list[ColumnAnswer]
    sites: list[SiteWord]
    taxa: TaxaAnswer | None
