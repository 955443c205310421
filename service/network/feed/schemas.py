"""What crosses HTTP when somebody keeps a copy of the network up to date."""

from typing import Annotated
from uuid import UUID

from pydantic import Field

from service.core.paging import DEFAULT_LIMIT, Cursor, Limit
from service.core.schema import Answer, Query
from service.network.schemas import VisitRow


class ChangeQuery(Query):
    """Where to go on."""

    after: Annotated[Cursor, Field(description="Taken from `next`; left out: from the beginning.")] = None
    limit: Limit = DEFAULT_LIMIT


class ChangedVisit(Answer):
    """A visit that has changed: as it now is, or gone from your sight and to be deleted from your copy."""

    visit_id: UUID
    gone: bool
    visit: VisitRow | None


class ChangePage(Answer):
    """Changes in the order in which they came to stand; a visit at most once a page.

    `next` is always there: keep it, and ask it later for what has changed until then. `more` tells that
    there is more already.
    """

    items: list[ChangedVisit]
    more: bool
    next: str
