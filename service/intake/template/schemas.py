"""What is asked of the template: for whose sites, with which kits, how counted, on which paper."""

from typing import Annotated, Literal

from pydantic import Field

from service.core.schema import Query
from service.intake.template.columns import Counting
from service.visits.ask import Name

Codes = Annotated[str | None, Field(max_length=2_000, pattern=r"^[a-z0-9_,-]+$")]


class TemplateQuery(Query):
    """For whom the template is made."""

    school: Annotated[Name | None, Field(description="The sites of this school are in its list.")] = None
    site: Annotated[Name | None, Field(description="This site alone is in its list.")] = None
    kits: Annotated[
        Codes, Field(description="Codes of the kits that the class has, parted by commas: a column each.")
    ] = None
    parameters: Annotated[
        Codes, Field(description="Readings without a kit that is named, parted by commas: a column each.")
    ] = None
    counting: Annotated[
        Counting, Field(description="Animals by number, by letter (R 1-9, C 10-99, D 100 or more), or not.")
    ] = Counting.COUNTS


class WorkbookQuery(TemplateQuery):
    """For whom the workbook is made, and on what it is printed."""

    paper: Literal["a4", "letter"] = "a4"
