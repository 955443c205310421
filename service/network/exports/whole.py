"""The whole of a list, batch after batch."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager
from typing import TypeVar

from fastapi import Request
from sqlmodel import Session

from service.core.formats.table import FlatRow
from service.network.listing import Key, Listing
from service.schools.caller import Caller
from service.sites.choose import sites_chosen
from service.sites.columns import flat_site
from service.sites.schemas import SiteChoice
from service.sites.show_site import shown_site
from service.visits.question import Question

# A batch of rows is one chunk of the answer: some hundred kilobytes.
ROWS_OF_A_BATCH = 2_000
Choice = TypeVar("Choice")


def whole_list(
    opened: Callable[[], AbstractContextManager[Session]],
    question: Question,
    listing: Listing[Choice],
    choice: Choice,
) -> Iterator[list[FlatRow]]:
    """Give every row of a list in its order; ``opened`` gives the session for each batch.

    With a new session each time, no connection is kept while a slow reader takes what was read. Then each
    batch is of its own moment: a visit that changes meanwhile stands in it as it was or as it is, or where
    its date has changed twice or not at all; `/v1/changes` tells of it.
    """
    after: Key | None = None
    while True:
        with opened() as session:
            rows = listing.rows(session, question, choice, ROWS_OF_A_BATCH, after)
        if rows:
            yield [listing.flat(row) for row in rows]
        if len(rows) < ROWS_OF_A_BATCH:
            return
        after = listing.key(rows[-1])


def whole_list_of_sites(
    request: Request, session: Session, caller: Caller, choice: SiteChoice
) -> list[FlatRow]:
    """Return every site; a network has few enough of them to hold."""
    found: list[FlatRow] = []
    after = ""
    while sites := sites_chosen(request, session, caller, choice, after, ROWS_OF_A_BATCH):
        found += [flat_site(shown_site(site, caller)) for site in sites]
        after = sites[-1].code
    return found
