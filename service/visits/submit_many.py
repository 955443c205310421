"""Hand in visits one after the other: each judged as `submit_visit` judges it, stored many at a time."""

from datetime import UTC, datetime
from uuid import UUID

from sqlmodel import Session

from service.changes.queries import record_changes
from service.changes.tables import Deed, Subject
from service.core.ids import uuid7
from service.core.settings import Settings
from service.schools.caller import Caller
from service.visits.build_record import build_record
from service.visits.record import Arrival, VisitRecord
from service.visits.records.queries import insert_records
from service.visits.remembered import Remembered
from service.visits.revise import revise_visit
from service.visits.schemas import VisitBody
from service.visits.submit import Submitted, note_blanks, site_for
from service.visits.tried import Tried

ANY_VERSION = "*"


class VisitsInARow:
    """Visits that are handed in by one caller, in the order of time, many to a transaction.

    Each transaction is `begin`, then any number of visits, then `store`; after one that failed, `forget`.
    Whether a visit is there already is for the one who hands in to find out.
    """

    def __init__(self, session: Session, settings: Settings, caller: Caller, *, dry_run: bool) -> None:
        self._session = session
        self._settings = settings
        self._caller = caller
        self._background = Remembered(session)
        self._tried = Tried(self._background) if dry_run else None
        self._waiting: list[VisitRecord] = []

    @property
    def has_forgotten(self) -> bool:
        """Whether a dry run has forgotten the first visits, as there are too many to remember all."""
        return self._tried is not None and self._tried.has_forgotten

    def begin(self) -> None:
        """Begin a transaction."""
        self._background.begin()

    def forget(self) -> None:
        """Forget what a transaction that failed has left."""
        self._waiting.clear()
        self._background.forget()

    def submit(self, body: VisitBody) -> Submitted:
        """Check and score a new visit; it is stored with the others.

        Raises
        ------
        Invalid, Forbidden
            As for `submit_visit`.
        """
        site = site_for(self._session, self._caller, body)
        visit_id = body.visit_id or uuid7(only_day=True)
        arrival = Arrival(visit_id, 1, self._caller.key_text, datetime.now(UTC))
        known = self._tried or self._background
        record = build_record(self._session, self._settings, body, site, arrival, background=known)
        if self._tried is not None:
            self._tried.add(record, site)
        else:
            self._waiting.append(record)
            self._background.add(record, site)
            note_blanks(self._session, record)
        return Submitted(record, site, is_new=True)

    def revise(self, visit_id: UUID, body: VisitBody) -> Submitted:
        """Correct a visit that is stored, whatever its version; in a dry run only say how it would come out.

        Raises
        ------
        Invalid, Forbidden, NotFound, Conflict
            As for `revise_visit`.
        """
        if self._tried is not None:
            self._tried.revise(visit_id)
            return self.submit(body)
        self.store()
        done = revise_visit(self._session, self._settings, self._caller, visit_id, body, ANY_VERSION)
        self._background.forget()
        return done

    def store(self) -> None:
        """Store the visits that wait for it."""
        records, self._waiting = self._waiting, []
        if records:
            insert_records(self._session, records)
            ids = [str(record.visit.id) for record in records]
            last = record_changes(self._session, Subject.VISIT, ids, self._caller.key_text, Deed.MADE, "")
            self._background.end(last, len(ids))
