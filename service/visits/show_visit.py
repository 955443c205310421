"""Turn a visit's rows into the answer that a caller may see."""

from collections import defaultdict
from datetime import timedelta, timezone

from service.core.etag import etag_of
from service.core.settings import Settings
from service.reference.catalogue import Catalogue
from service.reference.load import load_catalogue
from service.reference.taxon_name import Unknown
from service.schools.caller import Caller
from service.science.flags import WORST_FIRST
from service.science.private_text import privacy_caution
from service.sites.schemas import WatershedAnswer
from service.sites.tables import Site
from service.visits.answers import (
    AlertAnswer,
    CatchAnswer,
    CheckAnswer,
    CountAnswer,
    DerivedAnswer,
    PrivateAnswer,
    ReadingAnswer,
    ScoreAnswer,
    SlipAnswer,
    VisitAnswer,
    WrittenAnswer,
)
from service.visits.effective_flag import flag_of_checks
from service.visits.gauging_body import stored_bottles, stored_gauging
from service.visits.private_findings import as_others_see_it
from service.visits.record import VisitRecord
from service.visits.tables import (
    WHOLE_VISIT,
    VisitAlert,
    VisitCount,
    VisitFinding,
    VisitReading,
)

PART = {"visit_id", "revision"}


def shown_visit(record: VisitRecord, site: Site, caller: Caller, who_to_call: str) -> VisitAnswer:
    """Return a visit; notes, team and what tells the hour only for its own school and the coordinator.

    ``who_to_call`` is what this network tells those who raise an alert.
    """
    visit, revision = record.visit, record.revision
    sees_all = caller.sees_school(visit.school)
    findings: defaultdict[int, list[VisitFinding]] = defaultdict(list)
    for finding in sorted(record.findings, key=_worst_first):
        findings[finding.position].append(finding)
    watershed = None
    if site.watershed_scheme is not None and site.watershed_code is not None:
        watershed = WatershedAnswer(scheme=site.watershed_scheme, code=site.watershed_code)
    return VisitAnswer(
        visit_id=visit.id,
        revision=visit.revision,
        state=visit.state,
        kind=visit.kind,
        site=visit.site,
        school=visit.school,
        watershed=watershed,
        observed_on=visit.observed_on,
        flag=visit.flag.value,
        conditions=revision.conditions,
        readings=[_reading(row, findings[row.position], sees_all=sees_all) for row in record.readings],
        visit_checks=_checks(findings[WHOLE_VISIT], sees_all=sees_all),
        catch=_catch(record, load_catalogue()),
        gauging=stored_gauging(revision.gauging),
        bottles=stored_bottles(revision.bottles),
        derived=[
            DerivedAnswer(**row.model_dump(exclude=PART))
            for row in sorted(record.derived, key=lambda row: row.parameter)
        ],
        scores=[
            ScoreAnswer(**row.model_dump(exclude=PART | {"superseded"}))
            for row in sorted(record.scores, key=lambda row: row.index)
            if not row.superseded
        ],
        alerts=[shown_alert(row, who_to_call) for row in record.alerts] if sees_all else [],
        private=_private(record) if sees_all else None,
    )


def visit_tag(record: VisitRecord, site: Site, caller: Caller, settings: Settings) -> str:
    """Return the tag of a visit as this caller sees it."""
    return etag_of(shown_visit(record, site, caller, settings.whom_to_call))


def _worst_first(finding: VisitFinding) -> tuple[int, str]:
    return WORST_FIRST.index(finding.flag), finding.check


def shown_check(finding: VisitFinding) -> CheckAnswer:
    """Return what a check said."""
    slip = SlipAnswer(**finding.likely_slip) if finding.likely_slip else None
    fields = finding.model_dump(exclude=PART | {"position", "flag", "likely_slip"})
    return CheckAnswer(**fields, flag=finding.flag.value, likely_slip=slip)


def _checks(findings: list[VisitFinding], *, sees_all: bool) -> list[CheckAnswer]:
    shown = [shown_check(finding) for finding in findings]
    return shown if sees_all else [as_others_see_it(check) for check in shown]


def _reading(row: VisitReading, findings: list[VisitFinding], *, sees_all: bool) -> ReadingAnswer:
    return ReadingAnswer(
        parameter=row.parameter,
        replicate=row.replicate,
        value=row.value,
        unit=row.unit,
        censored=row.censored,
        low=row.low,
        high=row.high,
        kit=row.kit,
        kit_lot=row.kit_lot if sees_all else None,
        written=shown_as_written(row),
        flag=row.flag.value,
        checks_flag=flag_of_checks(row, findings).value,
        accepted=row.accepted,
        checks=_checks(findings, sees_all=sees_all),
    )


def shown_as_written(row: VisitReading) -> WrittenAnswer:
    """Return a reading as the class wrote it."""
    return WrittenAnswer(value=row.written_value, unit=row.written_unit, censored=row.written_censored)


def _catch(record: VisitRecord, catalogue: Catalogue) -> CatchAnswer | None:
    if record.revision.catch is None:
        return None
    counts = [_count(row, catalogue) for row in record.counts]
    return CatchAnswer(**record.revision.catch, counts=counts)


def _count(row: VisitCount, catalogue: Catalogue) -> CountAnswer:
    found = catalogue.resolve_taxon(row.written_name)
    if isinstance(found, Unknown):
        near = " or ".join(found.suggestions)
        question = "This name is not in the list; the animals are kept, but enter no score."
        question += f" Did you mean {near}?" if near else ""
    else:
        question = found.question
    fields = row.model_dump(exclude=PART | {"position"})
    return CountAnswer(**fields, question=question)


def shown_alert(row: VisitAlert, who_to_call: str) -> AlertAnswer:
    """Return an alert with its cautions and whom this network calls."""
    return AlertAnswer(
        alert=row.alert,
        message=row.message,
        cautions=row.cautions,
        who_to_call=who_to_call,
        acknowledged=row.acknowledged_at is not None,
    )


def _private(record: VisitRecord) -> PrivateAnswer:
    revision = record.revision
    zone = timezone(timedelta(minutes=revision.utc_offset_minutes))
    return PrivateAnswer(
        observed_at=revision.observed_at.astimezone(zone),
        received_at=revision.received_at,
        team=revision.team,
        notes=revision.notes,
        cautions=_privacy_cautions(record),
    )


def _privacy_cautions(record: VisitRecord) -> list[str]:
    names = " ; ".join(row.written_name for row in record.counts)
    texts = (("The notes", record.revision.notes or ""), ("The names of the animals", names))
    return [caution for what, text in texts if (caution := privacy_caution(what, text)) is not None]
