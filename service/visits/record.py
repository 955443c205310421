"""A visit with everything that belongs to one revision of it, as table rows."""

from collections.abc import Sequence
from dataclasses import dataclass

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
