"""What crosses HTTP of a list of sites: how it is sent, and what became of each row."""

from typing import Annotated, Literal

from pydantic import Field

from service.core.schema import Answer, Query
from service.intake.imports.fate import Fate
from service.intake.imports.schemas import CellAnswer
from service.visits.ask import Name


class SiteListQuery(Query):
    """How a list of sites is taken in."""

    school: Annotated[
        Name | None, Field(description="Whose sites these are, unless the mapping says that.")
    ] = None
    dry_run: Annotated[bool, Field(description="Say everything and store nothing.")] = False
    revise: Annotated[
        bool, Field(description="Change sites that are stored with other content, instead of naming them.")
    ] = False
    f: Annotated[
        Literal["json", "csv", "xlsx"],
        Field(description="The report as such, or the list as it was sent with what is said of each row."),
    ] = "json"


class ListedSiteAnswer(Answer):
    """One row of the list. ``remarks`` are said of rows that are taken all the same."""

    row: int
    fate: Fate
    site: Annotated[str | None, Field(description="Its code; null where none could be read.")]
    differs: Annotated[list[str], Field(description="Fields that were stored with other content.")]
    problems: list[CellAnswer]
    remarks: list[CellAnswer]
    advice: str


class SiteListReport(Answer):
    """What became of a list of sites."""

    file: Annotated[str, Field(description="What its sender calls it; empty where nothing was told.")]
    sheet: str
    school: str | None
    dry_run: bool
    revise: bool
    text: str
    rows_count: int
    totals: Annotated[dict[Fate, int], Field(description="Rows by fate; they add up to rows_count.")]
    rows: list[ListedSiteAnswer]
