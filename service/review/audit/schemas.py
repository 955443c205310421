"""What crosses HTTP of the audit trail."""

from datetime import datetime
from typing import Annotated

from pydantic import Field

from service.changes.tables import Deed, Subject
from service.core.paging import PageQuery
from service.core.schema import Answer
from service.schools.tables import Role


class AuditQuery(PageQuery):
    """Which part of the trail."""

    subject: Annotated[Subject | None, Field(description="Kind of thing.")] = None
    subject_id: Annotated[str | None, Field(max_length=64, description="Its code or id.")] = None


class AuditRow(Answer):
    """One change: when, by which key, what was done to what. Without a key: the network's own command."""

    number: int
    at: datetime
    subject: Subject
    subject_id: str
    action: Deed
    what: str
    key_id: str | None
    key_label: str | None
    key_role: Role | None
    key_school: str | None


class AuditPage(Answer):
    """A page of the trail, the newest first."""

    items: list[AuditRow]
    next: str | None
