"""What crosses HTTP of a file that is taken in: how it is sent, and what became of each row."""

from datetime import date
from typing import Annotated, Literal
from uuid import UUID

from pydantic import Field

from service.core.schema import Answer, Query
from service.intake.imports.fate import Fate
from service.visits.answers import FlagNumber
from service.visits.ask import Name
from service.visits.tables import State


class ImportQuery(Query):
    """How a file is taken in."""

    school: Annotated[
        Name | None, Field(description="Whose visits these are; a school's key means its own.")
    ] = None
    mapping: Annotated[
        Name | None,
        Field(
            description="Code of a mapping that the school keeps; without one the file is the network's own "
            "template, or one visit a line."
        ),
    ] = None
    dry_run: Annotated[
        bool,
        Field(description="Say everything and store nothing; visits of the file do not see one another."),
    ] = False
    revise: Annotated[
        bool, Field(description="Correct visits that are stored with other content, instead of naming them.")
    ] = False
    f: Annotated[
        Literal["json", "csv", "xlsx"],
        Field(description="The report as such, or the file as it was sent with what is said of each row."),
    ] = "json"


class DoubtAnswer(Answer):
    """What a check found in a visit: the parameter, or nothing for the visit as a whole."""

    parameter: str | None
    check: str
    flag: FlagNumber
    message: str


class ImportedVisit(Answer):
    """A visit of the file, as it now stands or would stand."""

    visit_id: UUID
    sheet: str
    row: Annotated[int, Field(description="The first of its rows, which carries its fate.")]
    fate: Fate
    site: str
    observed_on: date
    state: State
    flag: FlagNumber
    doubts: list[DoubtAnswer]


class CellAnswer(Answer):
    """A cell of the row. The column is empty where the whole row is meant; the value is shortened."""

    column: str
    value: str
    reason: str


class RowAnswer(Answer):
    """One row of the file. ``remarks`` are said of rows that are taken all the same."""

    sheet: str
    row: int
    fate: Fate
    visit_id: UUID | None
    problems: list[CellAnswer]
    remarks: list[CellAnswer]
    advice: str


class ImportReport(Answer):
    """What became of a file. Without the ``complete`` at its end it is cut off."""

    file: Annotated[str, Field(description="What its sender calls it; empty where nothing was told.")]
    sheets: Annotated[list[str], Field(description="Of a workbook, those that were read.")]
    mapping: Annotated[str, Field(description="How it was read: a mapping's code, or what else.")]
    school: str
    dry_run: bool
    revise: bool
    text: str
    rows_count: int
    totals: Annotated[dict[Fate, int], Field(description="Rows by fate; they add up to rows_count.")]
    visits: list[ImportedVisit]
    rows: list[RowAnswer]
    complete: Literal[True]
