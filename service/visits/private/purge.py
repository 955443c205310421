"""Remove what is private and older than the network keeps it. What was measured stays."""

from collections.abc import Iterator
from datetime import datetime, timedelta

from sqlmodel import Session

from service.changes.queries import record_changes
from service.changes.tables import Deed, Subject
from service.core.settings import Settings
from service.schools.once import KEPT_DAYS
from service.visits.private.queries import (
    FIRST,
    NOTES,
    PLACE,
    Holding,
    count_answers,
    count_revisions,
    drop_answers,
    empty,
    visits_holding,
)

BATCH = 200
ANSWERS = "answers kept for repeated requests"


def count_old(session: Session, settings: Settings, now: datetime) -> Iterator[tuple[str, int]]:
    """Tell by kind how much there is to remove; changes nothing.

    Yields
    ------
    tuple
        Kind, and how many revisions or answers of it are too old.
    """
    for kind, holding in _too_old(settings, now):
        yield kind, count_revisions(session, holding)
    yield ANSWERS, count_answers(session, now - timedelta(days=KEPT_DAYS))


def purge_old(session: Session, settings: Settings, now: datetime) -> Iterator[tuple[str, int]]:
    """Remove it, batch by batch.

    The hash of what was handed in stays, so a visit that is sent again is still known.

    Yields
    ------
    tuple
        Kind, and from how many revisions it was removed, or how many answers were. Commit after each.
    """
    for kind, holding in _too_old(settings, now):
        yield kind, 0
        after = FIRST
        while batch := visits_holding(session, holding, after, BATCH):
            emptied = empty(session, holding, batch)
            ids = [str(visit_id) for visit_id in batch]
            record_changes(session, Subject.VISIT, ids, None, Deed.CHANGED, f"{kind} purged")
            after = batch[-1]
            yield kind, emptied
    yield ANSWERS, drop_answers(session, now - timedelta(days=KEPT_DAYS))


def _too_old(settings: Settings, now: datetime) -> Iterator[tuple[str, Holding]]:
    """Give what the network does not keep for ever, each with the age that counts from its arrival."""
    kept = (("notes", NOTES, settings.notes_kept_days), ("places", PLACE, settings.places_kept_days))
    for kind, columns, days in kept:
        if days:
            yield kind, Holding(columns, before=now - timedelta(days=days))
