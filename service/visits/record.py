"""A visit with everything that belongs to one revision of it, as table rows."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from service.visits.tables import (
    Visit,
    VisitAlert,
    VisitCount,
    VisitDerived,
    VisitFinding,
    VisitReading,
    VisitRevision,
    VisitScore,
)


@dataclass(frozen=True, slots=True)
class Arrival:
    """Under which id and number a revision is handed in, by which key (``None``: the network's own), when."""

    visit_id: UUID
    revision: int
    key_id: str | None
    received_at: datetime


@dataclass(frozen=True, slots=True)
class VisitRecord:
    """One revision, whole. Parts are in the order of their positions."""

    visit: Visit
    revision: VisitRevision
    readings: Sequence[VisitReading]
    counts: Sequence[VisitCount]
    findings: Sequence[VisitFinding]
    derived: Sequence[VisitDerived]
    scores: Sequence[VisitScore]
    alerts: Sequence[VisitAlert]
