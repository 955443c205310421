"""The sites that a list's filters choose, for the one who asks."""

from collections.abc import Sequence

from fastapi import Request
from sqlalchemy import ColumnElement
from sqlmodel import Session

from service.schools.caller import Caller
from service.sites.box import Box, read_box
from service.sites.queries import shown_inside, sites_after
from service.sites.schemas import SiteChoice
from service.sites.tables import Site
from service.sites.watershed_filter import watershed_asked


def sites_chosen(
    request: Request, session: Session, caller: Caller, choice: SiteChoice, after: str, limit: int
) -> Sequence[Site]:
    """Return sites in the order of their codes, beginning after a code.

    Raises
    ------
    BadQuery
        The watershed's code is not legal, or the box cannot be read.
    """
    return sites_after(
        session,
        after,
        limit,
        watershed=watershed_asked(request, choice.watershed),
        stream=choice.stream,
        school=choice.school,
        shown=None if choice.bbox is None else shown_to(caller, read_box(choice.bbox)),
    )


def shown_to(caller: Caller, box: Box) -> ColumnElement[bool]:
    """Return the condition that a site is shown to the caller inside a box."""
    return shown_inside(box, caller.school, sees_everything=caller.is_coordinator)
