"""A held visit as one item of the review, and a decision as those may see it who read its reason."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import timedelta, timezone
from typing import Any

from service.review.answers import (
    DecisionAnswer,
    DoubtedReading,
    KitLimits,
    NeighbourValue,
    OtherReading,
    PastValue,
    ReviewItem,
)
from service.review.tables import Decision
from service.schools.caller import Caller
from service.science.types import Kit
from service.sites.schemas import WatershedAnswer
from service.sites.tables import Site
from service.visits.show_visit import shown_alert, shown_as_written, shown_check
from service.visits.tables import (
    WHOLE_VISIT,
    Visit,
    VisitAlert,
    VisitFinding,
    VisitReading,
    VisitRevision,
)


@dataclass(frozen=True, slots=True)
class Doubted:
    """A reading in doubt, with its kit, what was found, its site's past and its neighbours' week."""

    row: VisitReading
    kit: Kit | None
    findings: Sequence[VisitFinding]
    history: Sequence[Any]
    neighbours: Sequence[Any]


@dataclass(frozen=True, slots=True)
class Held:
    """A held visit; ``doubts`` are what its checks found suspect or failed."""

    visit: Visit
    revision: VisitRevision
    site: Site
    readings: Sequence[VisitReading]
    doubts: Sequence[VisitFinding]
    alerts: Sequence[VisitAlert]
    decisions: Sequence[Decision]


def shown_item(held: Held, doubted: Sequence[Doubted], caller: Caller, who_to_call: str) -> ReviewItem:
    """Return a held visit as the coordinator decides on it."""
    visit, revision, site = held.visit, held.revision, held.site
    in_doubt = {reading.row.position for reading in doubted}
    watershed = None
    if site.watershed_scheme is not None and site.watershed_code is not None:
        watershed = WatershedAnswer(scheme=site.watershed_scheme, code=site.watershed_code)
    return ReviewItem(
        visit_id=visit.id,
        revision=visit.revision,
        state=visit.state,
        kind=visit.kind,
        flag=visit.flag.value,
        site=site.code,
        site_name=site.name,
        school=visit.school,
        stream=site.stream,
        stream_km=site.stream_km,
        watershed=watershed,
        observed_on=visit.observed_on,
        observed_at=revision.observed_at.astimezone(timezone(timedelta(minutes=revision.utc_offset_minutes))),
        received_at=revision.received_at,
        team=revision.team,
        notes=revision.notes,
        conditions=revision.conditions,
        readings=[_doubted(reading) for reading in doubted],
        other_readings=[_other(row) for row in held.readings if row.position not in in_doubt],
        visit_findings=[shown_check(row) for row in held.doubts if row.position == WHOLE_VISIT],
        alerts=[shown_alert(row, who_to_call) for row in held.alerts],
        decisions=[shown_decision(row, caller) for row in held.decisions],
    )


def shown_decision(row: Decision, caller: Caller) -> DecisionAnswer:
    """Return a decision; whose key it was only for the coordinator."""
    return DecisionAnswer(
        id=row.id,
        revision=row.revision,
        action=row.action,
        reading=row.position,
        flag_before=row.flag_before.value if row.flag_before else None,
        flag=row.flag.value if row.flag else None,
        state_before=row.state_before,
        state=row.state,
        reason=row.reason,
        decided_at=row.decided_at,
        key_id=row.key_id if caller.is_coordinator else None,
    )


def _doubted(reading: Doubted) -> DoubtedReading:
    row, kit = reading.row, reading.kit
    return DoubtedReading(
        reading=row.position,
        parameter=row.parameter,
        replicate=row.replicate,
        value=row.value,
        unit=row.unit,
        censored=row.censored,
        low=row.low,
        high=row.high,
        written=shown_as_written(row),
        kit=_limits(kit) if kit is not None else None,
        kit_lot=row.kit_lot,
        procedure=row.procedure,
        flag=row.flag.value,
        findings=[shown_check(found) for found in reading.findings],
        history=[_past(PastValue, found) for found in reading.history],
        neighbours=[_past(NeighbourValue, found) for found in reading.neighbours],
    )


def _limits(kit: Kit) -> KitLimits:
    return KitLimits(
        code=kit.code,
        name=kit.name,
        kind=kit.kind,
        unit=kit.unit,
        lower=kit.lower,
        upper=kit.upper,
        marks=list(kit.marks),
        step=kit.step,
        accuracy=kit.accuracy,
    )


def _past(kind: Any, row: Any) -> Any:
    return kind(**{name: row[name] for name in kind.model_fields if name != "flag"}, flag=int(row["flag"]))


def _other(row: VisitReading) -> OtherReading:
    return OtherReading(
        reading=row.position,
        parameter=row.parameter,
        value=row.value,
        unit=row.unit,
        censored=row.censored,
        kit=row.kit,
        flag=row.flag.value,
    )
