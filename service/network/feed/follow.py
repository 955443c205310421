"""What has changed since a reader last asked: each change once, none missed, what is gone named as gone."""

from sqlmodel import Session

from service.core.paging import read_cursor
from service.network.feed.queries import changes_after, once_visible_among, visible_among
from service.network.feed.schemas import ChangedVisit
from service.network.pages import rows_of_visits
from service.visits.question import Question


def changes_since(
    session: Session, question: Question, after: str | None, limit: int
) -> tuple[list[ChangedVisit], int, bool]:
    """Return the visits that have changed, the number of the last change looked at, and whether more follow.

    Numbers rise in the order of commits, so whoever goes on from the last one misses nothing that was
    committed later. A visit that changed several times among these is told once, as it now is.
    """
    (number,) = read_cursor(after, [int]) if after else (0,)
    found = changes_after(session, int(number), limit + 1)
    more, found = len(found) > limit, found[:limit]
    newest = {visit_id: number for number, visit_id in found}
    rows = {
        row.visit_id: row
        for row in rows_of_visits(session, question, visible_among(session, question, newest))
    }
    known = once_visible_among(session, newest, question.own_school, everything=question.sees_everything)
    items = [
        ChangedVisit(visit_id=visit_id, gone=visit_id not in rows, visit=rows.get(visit_id))
        for visit_id in sorted(newest, key=newest.__getitem__)
        if visit_id in known
    ]
    return items, (found[-1][0] if found else int(number)), more
