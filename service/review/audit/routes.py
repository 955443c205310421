"""The address of the audit trail."""

from collections.abc import Mapping
from datetime import UTC
from typing import Annotated
from uuid import UUID

from fastapi import APIRouter, Query, Request, Response

from service.changes.tables import Change
from service.core.database import RequestSession
from service.core.links import link_header, next_link
from service.core.paging import LARGEST_KEY_NUMBER, read_cursor
from service.review.audit.queries import keys_among, trail_before
from service.review.audit.schemas import AuditPage, AuditQuery, AuditRow
from service.schools.caller import Coordinator
from service.schools.tables import AccessKey

router = APIRouter(prefix="/v1", tags=["steer"])


@router.get("/audit")
def list_audit_trail(
    request: Request,
    response: Response,
    asked: Annotated[AuditQuery, Query()],
    session: RequestSession,
    caller: Coordinator,
) -> AuditPage:
    """List who changed what and when, the newest first."""
    (before,) = read_cursor(asked.cursor, [int]) if asked.cursor else (LARGEST_KEY_NUMBER,)
    rows = trail_before(session, int(before), asked.limit + 1, asked.subject, asked.subject_id)
    link = next_link(request, asked.limit, rows, lambda row: [row.number])
    link_header(response, link)
    keys = keys_among(session, {UUID(row.key_id) for row in rows if row.key_id})
    return AuditPage(items=[_shown(row, keys) for row in rows[: asked.limit]], next=link)


def _shown(row: Change, keys: Mapping[str, AccessKey]) -> AuditRow:
    key = keys.get(row.key_id or "")
    return AuditRow(
        **row.model_dump(exclude={"at"}),
        at=row.at.astimezone(UTC),
        key_label=key.label if key else None,
        key_role=key.role if key else None,
        key_school=key.school if key else None,
    )
