"""What crosses HTTP of a school's own: the document of its export, and what was removed."""

from datetime import datetime
from typing import Annotated, Any

from pydantic import Field

from service.core.schema import Answer, Body
from service.schools.schemas import KeyAnswer, SchoolAnswer
from service.sites.schemas import LotAnswer, SiteAnswer
from service.visits.answers import RevisionAnswer, VisitAnswer


class ExportedVisit(Answer):
    """A visit as it stands, and every revision of it as it was handed in."""

    current: VisitAnswer
    revisions: list[RevisionAnswer]


class ExportedMapping(Answer):
    """How one kind of the school's own sheets is read."""

    code: str
    changed_at: datetime
    mapping: dict[str, Any]


class SchoolExport(Answer):
    """All that the network holds of a school. Without the ``visits_count`` at its end it is cut off."""

    school: SchoolAnswer
    keys: list[KeyAnswer]
    sites: list[SiteAnswer]
    kit_lots: list[LotAnswer]
    mappings: list[ExportedMapping]
    visits: list[ExportedVisit]
    visits_count: Annotated[int, Field(description="Visits in this document.")]


class ConfirmBody(Body):
    """That it is meant: what is removed cannot come back."""

    confirm: Annotated[str, Field(max_length=48, description="The school's code once more.")]


class ForgottenAnswer(Answer):
    """What was removed, in revisions of visits; nothing that was measured is among it."""

    school: str
    visits: Annotated[int, Field(description="Visits that something was removed from.")]
    notes: int
    teams: int
    places: Annotated[int, Field(description="Exact places of devices.")]
    contact: Annotated[bool, Field(description="A contact was removed.")]
    mappings: Annotated[int, Field(description="Mappings of its own sheets.")]
    text: str
