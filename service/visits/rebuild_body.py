"""From the rows of a revision back to the body that was handed in."""

from datetime import timedelta, timezone
from typing import Any

from service.visits.record import VisitRecord
from service.visits.schemas import VisitBody
from service.visits.tables import VisitCount, VisitReading


def rebuild_body(record: VisitRecord) -> VisitBody:
    """Return the body of a revision: what was written, not what was made of it."""
    revision = record.revision
    zone = timezone(timedelta(minutes=revision.utc_offset_minutes))
    fields: dict[str, Any] = {
        "visit_id": str(record.visit.id),
        "site": record.visit.site,
        "observed_at": revision.observed_at.astimezone(zone).isoformat(),
        "kind": record.visit.kind.value,
        "team": revision.team,
        "conditions": revision.conditions,
        "readings": [_reading(row) for row in record.readings],
        "notes": revision.notes,
    }
    if revision.latitude is not None:
        fields["place"] = {"latitude": revision.latitude, "longitude": revision.longitude}
    if revision.catch is not None:
        fields["catch"] = revision.catch | {"counts": [_count(row) for row in record.counts]}
    if revision.gauging is not None:
        fields["gauging"] = revision.gauging
    if revision.bottles is not None:
        fields["bottles"] = revision.bottles
    return VisitBody.model_validate(fields)


def _reading(row: VisitReading) -> dict[str, Any]:
    return {
        "parameter": row.parameter,
        "value": row.written_value,
        "unit": row.written_unit,
        "censored": row.written_censored.value if row.written_censored else None,
        "kit": row.kit,
        "kit_lot": row.kit_lot,
        "replicate": row.replicate,
        "procedure": row.procedure,
    }


def _count(row: VisitCount) -> dict[str, Any]:
    return {
        "taxon": row.written_name,
        "count": row.count,
        "abundance": row.abundance,
        "life_stage": row.life_stage,
    }
