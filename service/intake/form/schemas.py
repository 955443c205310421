"""What is asked of the form: for which site, with which kits, under which id; and whether it only checks."""

from typing import Annotated
from uuid import UUID

from pydantic import Field

from service.core.schema import Query
from service.intake.paper.schemas import SheetQuery
from service.visits.ask import Name


class FormQuery(SheetQuery):
    """Which form. ``visit_id`` stays in the address, so that the page is the same after going back."""

    site: Annotated[Name | None, Field(description="Left out: a list of sites to choose from.")] = None
    visit_id: UUID | None = None


class SendQuery(Query):
    """Whether the visit is only checked."""

    dry_run: bool = False
