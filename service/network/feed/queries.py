"""SQL of the feed: which visits have changed since a number, and what of them may be seen."""

from collections.abc import Collection, Sequence
from typing import Any
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, col

from service.changes.tables import Change, Subject
from service.core.columns import as_stored
from service.network.queries import VISIT_COLUMNS, Rows, rows_found
from service.sites.tables import Site
from service.visits.queries import asked
from service.visits.question import Question
from service.visits.tables import Visit


def changes_after(session: Session, number: int, limit: int) -> Sequence[tuple[int, UUID]]:
    """Return number and visit of the changes of visits after a number, in the order of their commits."""
    found = sa.select(col(Change.number), col(Change.subject_id)).where(
        col(Change.number) > number, col(Change.subject) == Subject.VISIT
    )
    rows = session.execute(found.order_by(col(Change.number)).limit(limit))
    return [(number, UUID(subject_id)) for number, subject_id in rows]


def visible_among(session: Session, question: Question, visit_ids: Collection[UUID]) -> Rows:
    """Return those of the visits that meet a question, as the lists show them."""
    columns: tuple[Any, ...] = (*VISIT_COLUMNS, as_stored(col(Visit.flag)))
    found = sa.select(*columns).join(Site).where(*asked(question), col(Visit.id).in_(visit_ids))
    return rows_found(session, found)


def once_visible_among(
    session: Session, visit_ids: Collection[UUID], own_school: str | None, *, everything: bool
) -> set[UUID]:
    """Return those of the visits that the one who asks could have seen at some time."""
    seen = sa.or_(col(Visit.published).is_(True), col(Visit.school) == own_school)
    found = sa.select(col(Visit.id)).where(col(Visit.id).in_(visit_ids))
    return set(session.execute(found if everything else found.where(seen)).scalars())
