"""Check stored visits again, after a rule, a kit or a place has changed. What a person decided stays."""

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, date
from typing import Any

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.settings import Settings
from service.review.differences import says_the_same
from service.review.queries import decisions_of, visits_from
from service.review.tables import Action
from service.science.qa.checks.visit_place import CHECK as VISIT_PLACE
from service.sites.queries import site_by_code
from service.visits.build_record import build_record
from service.visits.compose import state_for
from service.visits.effective_flag import flag_of_visit
from service.visits.rebuild_body import rebuild_body
from service.visits.reconclude import reconclude
from service.visits.record import Arrival, VisitRecord
from service.visits.records.queries import load_record, replace_findings
from service.visits.tables import State, Visit, VisitReading

BATCH = 200
MADE_BY_RULES = ("value", "censored", "low", "high", "anomaly", "residual")


def recheck_all(session: Session, settings: Settings, since: date | None) -> Iterator[tuple[date, bool]]:
    """Check the visits in the record again, in the order of their dates, and tell each one's date.

    The second of each pair tells whether anything about the visit came out differently. Commit at any point
    between two visits: starting again from the date last told continues.
    """
    after = None
    while batch := visits_from(session, since, after, BATCH):
        for visit in batch:
            after = (visit.observed_on, visit.id)
            yield visit.observed_on, recheck_visit(session, settings, visit)
        session.expunge_all()


def recheck_visit(session: Session, settings: Settings, visit: Visit) -> bool:
    """Check one visit again, and tell whether anything came out differently."""
    before = load_record(session, visit)
    site = site_by_code(session, visit.site)
    assert site is not None  # a foreign key holds it
    revision = before.revision
    arrival = Arrival(visit.id, visit.revision, revision.key_id, revision.received_at.astimezone(UTC))
    again = build_record(session, settings, rebuild_body(before), site, arrival)
    again = _with_what_was_said_of_a_removed_place(before, again)
    decisions = decisions_of(session, [visit.id])
    current = [row for row in decisions if row.revision == visit.revision]
    decided = {row.position for row in current if row.action is Action.SET_FLAG}
    if not _differs(before, again, decided):
        return False
    for old, new in zip(before.readings, again.readings, strict=True):
        _take_over(old, new, decided)
    replace_findings(session, again)
    standing = replace(before, findings=again.findings)
    visit.flag = flag_of_visit(standing)
    waits_for_a_person = bool(decisions) and decisions[-1].state is State.REJECTED
    if not current and not waits_for_a_person:
        visit.enter(state_for(visit.flag, release_suspect=settings.release_suspect))
    before.revision.reference_version = again.revision.reference_version
    session.flush()
    reconclude(session, standing, site)
    record_change(session, Subject.VISIT, str(visit.id), None, Deed.RECKONED, "checked again")
    return True


def _with_what_was_said_of_a_removed_place(before: VisitRecord, again: VisitRecord) -> VisitRecord:
    """Let the finding about a place stand that is kept no more: nobody can compare it again.

    Else a visit that was held for its place would be released because the place was purged.
    """
    if before.revision.latitude is not None:
        return again
    stands = [row for row in before.findings if row.check == VISIT_PLACE.id]
    anew = [row for row in again.findings if row.check != VISIT_PLACE.id]
    return replace(again, findings=[*anew, *stands])


def _take_over(old: VisitReading, new: VisitReading, decided: set[int | None]) -> None:
    for name in MADE_BY_RULES:
        setattr(old, name, getattr(new, name))
    if old.position not in decided:
        old.flag = new.flag


def _differs(before: VisitRecord, again: VisitRecord, decided: set[int | None]) -> bool:
    flags = any(
        old.position not in decided and old.flag is not new.flag
        for old, new in zip(before.readings, again.readings, strict=True)
    )
    pairs: tuple[tuple[Any, Any], ...] = (
        (before.findings, again.findings),
        ([row for row in before.scores if not row.superseded], again.scores),
        (before.readings, again.readings),
    )
    return flags or not all(says_the_same(old, new) for old, new in pairs)
