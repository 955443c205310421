"""From what was handed in and what science said of it to the rows of one revision.

What is written once and never changed is made with `model_construct`: no unit of work has to watch it, and
that watch would cost ten times as much as the row.
"""

from datetime import UTC, datetime

from service.reference.load import load_catalogue
from service.science.flags import Flag
from service.science.qa.checks.site_outlier import CHECK as SITE_OUTLIER_CHECK
from service.science.qa.engine import CheckResult, ReadingAssessment
from service.science.types import Reading
from service.sites.tables import Site
from service.visits.assess import Assessed
from service.visits.conclusions import Fields, derived_rows, finite, score_rows
from service.visits.interpret import Interpreted
from service.visits.record import Arrival, VisitRecord
from service.visits.schemas import ReadingBody, VisitBody
from service.visits.tables import (
    WHOLE_VISIT,
    State,
    Visit,
    VisitAlert,
    VisitCount,
    VisitFinding,
    VisitReading,
    VisitRevision,
)


def compose(
    arrival: Arrival,
    body: VisitBody,
    interpreted: Interpreted,
    assessed: Assessed,
    *,
    site: Site,
    release_suspect: bool,
    reference_version: str,
    scored_with: str,
) -> VisitRecord:
    """Return the rows of a revision, not yet stored."""
    state = state_for(assessed.flag, release_suspect=release_suspect)
    part: Fields = {"visit_id": arrival.visit_id, "revision": arrival.revision}
    when = _when(body, interpreted)
    made_with: Fields = {"reference_version": reference_version, "scored_with": scored_with}
    return VisitRecord(
        visit=Visit(
            id=arrival.visit_id,
            site=site.code,
            school=site.school,
            revision=arrival.revision,
            kind=body.kind,
            state=state,
            published=state is State.RELEASED,
            flag=assessed.flag,
            **when,
        ),
        revision=VisitRevision(**part, **when, **_as_handed_in(body, interpreted, arrival), **made_with),
        readings=_readings(part, body, interpreted, assessed),
        counts=_counts(part, interpreted),
        findings=_findings(part, assessed),
        derived=derived_rows(part, assessed.derived),
        scores=score_rows(part, assessed.scores, reference_version),
        alerts=_alerts(part, assessed, arrival.received_at),
    )


def state_for(flag: Flag, *, release_suspect: bool) -> State:
    """Return the state that a visit enters of itself, by the worst that was found in it."""
    holding = {Flag.FAIL} if release_suspect else {Flag.FAIL, Flag.SUSPECT}
    return State.HELD if flag in holding else State.RELEASED


def _when(body: VisitBody, interpreted: Interpreted) -> Fields:
    """Return the instant, and the date by the site's own clock."""
    return {
        "observed_at": body.observed_at.astimezone(UTC),
        "observed_on": interpreted.observed_at.date(),
    }


def _as_handed_in(body: VisitBody, interpreted: Interpreted, arrival: Arrival) -> Fields:
    offset = body.observed_at.utcoffset()
    assert offset is not None  # the schema takes no time without one
    return {
        "utc_offset_minutes": int(offset.total_seconds() // 60),
        "team": body.team,
        "conditions": body.conditions.model_dump(mode="json", exclude_none=True),
        "notes": body.notes,
        "catch": body.catch.model_dump(mode="json", exclude={"counts"}) if body.catch else None,
        "catch_hash": interpreted.catch_hash,
        "gauging": body.gauging.model_dump(mode="json", exclude_none=True) if body.gauging else None,
        "bottles": body.bottles.model_dump(mode="json") if body.bottles else None,
        "latitude": body.place.latitude if body.place else None,
        "longitude": body.place.longitude if body.place else None,
        "content_hash": interpreted.content_hash,
        "key_id": arrival.key_id,
        "received_at": arrival.received_at,
    }


def _alerts(part: Fields, assessed: Assessed, raised_at: datetime) -> list[VisitAlert]:
    return [
        VisitAlert(
            **part,
            alert=alert.kind,
            message=alert.message,
            cautions=list(alert.cautions),
            raised_at=raised_at,
        )
        for alert in assessed.alerts
    ]


def _storable(number: float | int | str | bool | None) -> float | int | str | bool | None:
    return finite(number) if isinstance(number, float) else number


def _readings(
    part: Fields, body: VisitBody, interpreted: Interpreted, assessed: Assessed
) -> list[VisitReading]:
    measured = {reading.position: reading for reading in interpreted.readings}
    found = {reading.position: reading for reading in assessed.assessment.readings}
    rows = []
    for position, written in enumerate(body.readings):
        common: Fields = {
            "position": position,
            "parameter": written.parameter,
            "replicate": interpreted.replicates[position],
            "kit": written.kit,
            "kit_lot": written.kit_lot,
            "procedure": written.procedure.model_dump(exclude_none=True),
            "flag": found[position].flag if position in found else Flag.MISSING,
            **(_distances(found[position]) if position in found else {}),
        }
        values = _values(measured[position]) if position in measured else _not_measured(written)
        rows.append(VisitReading.model_construct(**part, **common, **values))
    return rows


def _distances(reading: ReadingAssessment) -> Fields:
    """Return how far the reading was from its site's median, as the comparison with the past found it."""
    compared = (row.finding.evidence for row in reading.results if row.check == SITE_OUTLIER_CHECK.id)
    evidence = next(compared, {})
    return {"anomaly": evidence.get("anomaly"), "residual": evidence.get("residual")}


def _values(reading: Reading) -> Fields:
    return {
        "unit": reading.unit,
        "value": reading.value,
        "censored": reading.censored,
        "low": finite(reading.low),
        "high": finite(reading.high),
        "written_value": reading.written_value,
        "written_unit": reading.written_unit,
        "written_censored": reading.written_censored,
    }


def _not_measured(written: ReadingBody) -> Fields:
    unit = load_catalogue().parameters[written.parameter].unit
    return {"unit": unit, "written_unit": written.unit or unit}


def _counts(part: Fields, interpreted: Interpreted) -> list[VisitCount]:
    if interpreted.catch is None:
        return []
    return [
        VisitCount.model_construct(
            **part,
            position=position,
            written_name=tally.written_name,
            taxon=tally.taxon.name if tally.taxon else None,
            life_stage=tally.life_stage,
            count=tally.count,
            abundance=tally.abundance,
        )
        for position, tally in enumerate(interpreted.catch.tallies)
    ]


def _findings(part: Fields, assessed: Assessed) -> list[VisitFinding]:
    found = assessed.assessment
    rows = [_finding(part, WHOLE_VISIT, result) for result in found.visit_results]
    rows += [
        _finding(part, reading.position, result) for reading in found.readings for result in reading.results
    ]
    return rows


def _finding(part: Fields, position: int, result: CheckResult) -> VisitFinding:
    finding = result.finding
    slip = finding.likely_slip
    return VisitFinding.model_construct(
        **part,
        position=position,
        check=result.check,
        version=result.version,
        flag=finding.flag,
        message=finding.message,
        advice=finding.advice,
        evidence={name: _storable(number) for name, number in finding.evidence.items()},
        likely_slip={"kind": slip.kind, "would_be": slip.would_be} if slip else None,
    )
