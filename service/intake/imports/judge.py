"""Judge the visits of one batch: each as if it were handed in alone."""

from collections.abc import Sequence
from dataclasses import dataclass
from uuid import UUID

from pydantic import ValidationError
from sqlmodel import Session

from service.core.errors import FieldError, Forbidden, Invalid, WadebookError
from service.core.settings import Settings
from service.intake.imports.fate import Fate
from service.intake.imports.problems import problems_of, problems_with
from service.intake.imports.shelf.queries import WaitingVisit
from service.intake.imports.source import Source
from service.intake.imports.verdict import Verdict, about_stored, about_taken, refused
from service.intake.imports.visit_id import own_namespace, visit_id_of
from service.intake.mapping.assembled import Assembled, Origin
from service.schools.caller import Caller
from service.sites.queries import site_by_code
from service.sites.tables import Site
from service.visits.interpret import content_hash
from service.visits.records.queries import known_contents
from service.visits.schemas import VisitBody
from service.visits.submit_many import VisitsInARow
from service.visits.tables import State, Visit

FORGOTTEN = (
    "from here on a dry run of so long a file no longer compares with its first rows; when the file is sent, "
    "they are compared too"
)


@dataclass(frozen=True, slots=True)
class ImportOrder:
    """For which school a file is taken in, whether it is only tried, and whether it may correct visits."""

    school: str
    dry_run: bool = False
    revise: bool = False


@dataclass(frozen=True, slots=True)
class _Ready:
    visit_id: UUID
    body: VisitBody
    made: Assembled


class Judge:
    """Whoever judges the visits of one file, batch by batch; each batch is one transaction."""

    def __init__(
        self, session: Session, settings: Settings, caller: Caller, order: ImportOrder, source: Source
    ) -> None:
        self._session = session
        self._order = order
        self._source = source
        self._row = VisitsInARow(session, settings, caller, dry_run=order.dry_run)
        self._has_told = False
        self._namespace = own_namespace(session)
        self._sites: dict[str, Site | None] = {}  # held, so that the session need not ask for them again

    def judge(self, batch: Sequence[WaitingVisit]) -> list[Verdict]:
        """Return a verdict on each visit, in their order; what is taken is stored when this returns."""
        self._row.begin()
        self._sites.clear()
        ready = [self._prepare(waiting) for waiting in batch]
        ids = [one.visit_id for one in ready if isinstance(one, _Ready)]
        known = known_contents(self._session, ids)
        verdicts = []
        for waiting, one in zip(batch, ready, strict=True):
            first = waiting.rows[0].number
            verdicts.append(self._verdict(first, one, known) if isinstance(one, _Ready) else one)
        self._row.store()
        return verdicts

    def forget(self) -> None:
        """Forget what a batch that failed has left."""
        self._row.forget()

    def _prepare(self, waiting: WaitingVisit) -> _Ready | Verdict:
        """Return the body of a visit under its id, or why there is none."""
        if any(row.fate for row in waiting.rows):
            return refused(())  # said of the row already
        made = self._source.assemble(waiting)
        if made.problems:
            return refused(made.problems)
        try:
            body = VisitBody.model_validate(made.body)
        except ValidationError as error:
            return refused(problems_of(error, made))
        visit_id = body.visit_id or visit_id_of(
            self._namespace,
            self._order.school,
            body.site,
            body.observed_at,
            body.team,
            body.kind,
            self._source.apart(waiting),
        )
        return _Ready(visit_id, body.model_copy(update={"visit_id": visit_id}), made)

    def _verdict(self, first: int, one: _Ready, known: dict[UUID, tuple[Visit, list[str]]]) -> Verdict:
        try:
            self._require_own_site(one.body.site)
            if one.visit_id in known:
                return self._known(first, one, *known[one.visit_id])
            done = self._row.submit(one.body)
        except Invalid as error:
            return refused(problems_with(error.errors, one.made))
        except WadebookError as error:
            return refused(problems_with([FieldError("", error.message)], one.made))
        visit = done.record.visit
        if not self._order.dry_run:
            known[one.visit_id] = (visit, [done.record.revision.content_hash])
        if self._row.has_forgotten and not self._has_told:
            self._has_told = True
            one.made.remark(Origin(first), "", FORGOTTEN)
        return about_taken(self._fate_of(visit), first, done.record, one.made)

    def _known(self, first: int, one: _Ready, visit: Visit, hashes: list[str]) -> Verdict:
        """Return the verdict on a visit whose id is stored: the same once more, or other content."""
        sent = content_hash(one.body)
        if visit.school != self._order.school:
            raise Forbidden("This visit_id stands for another school's visit; send it under a new one.")
        if sent == hashes[-1] or (sent in hashes and not self._order.revise):
            return about_stored(Fate.KNOWN, first, visit)
        if not self._order.revise:
            return about_stored(Fate.CHANGED, first, visit)
        done = self._row.revise(one.visit_id, one.body)
        hashes.append(sent)
        fate = self._fate_of(done.record.visit) if self._order.dry_run else Fate.REVISED
        return about_taken(fate, first, done.record, one.made)

    def _require_own_site(self, code: str) -> None:
        if code not in self._sites:
            self._sites[code] = site_by_code(self._session, code)
        site = self._sites[code]
        if site is not None and site.school != self._order.school:
            told = f"belongs to another school; this file is taken in for {self._order.school}"
            raise Invalid([FieldError("/site", told)])

    def _fate_of(self, visit: Visit) -> Fate:
        if self._order.dry_run:
            return Fate.WOULD_HOLD if visit.state is State.HELD else Fate.WOULD_STORE
        return Fate.HELD if visit.state is State.HELD else Fate.STORED
