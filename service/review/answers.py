"""What the review answers: held visits with all that a decision needs, decisions, and alerts."""

from datetime import date, datetime
from typing import Annotated, Any
from uuid import UUID

from pydantic import Field

from service.core.schema import Answer
from service.review.tables import Action
from service.science.types import VisitKind
from service.sites.schemas import WatershedAnswer
from service.visits.answers import AlertAnswer, CheckAnswer, FlagNumber, Mark, WrittenAnswer
from service.visits.tables import State


class DecisionAnswer(Answer):
    """One decision: what stood before and after it, and why. ``key_id`` is for the coordinator only."""

    id: UUID
    revision: int
    action: Action
    reading: Annotated[int | None, Field(description="Place of the reading in the visit, from 0.")]
    flag_before: FlagNumber | None
    flag: FlagNumber | None
    state_before: State
    state: State
    reason: str
    decided_at: datetime
    key_id: str | None


class DecisionPage(Answer):
    """Every decision about a visit, the oldest first."""

    items: list[DecisionAnswer]
    next: None


class KitLimits(Answer):
    """The kit of a reading: how fine it reads and how far it reaches, in ``unit``."""

    code: str
    name: str
    kind: str
    unit: str
    lower: float
    upper: float
    marks: list[float]
    step: float | None
    accuracy: float | None


class PastValue(Answer):
    """An earlier reading that counts, of the same parameter at the same site."""

    observed_on: date
    value: float
    censored: Mark
    kit: str | None
    flag: FlagNumber


class NeighbourValue(PastValue):
    """A reading of the same parameter at another site of the watershed in the same week."""

    site: str


class DoubtedReading(Answer):
    """A reading that a check or a person doubts, with what helps to judge it."""

    reading: Annotated[int, Field(description="Place in the visit, from 0; what a decision names.")]
    parameter: str
    replicate: int
    value: float | None
    unit: str
    censored: Mark
    low: float | None
    high: float | None
    written: WrittenAnswer
    kit: KitLimits | None
    kit_lot: str | None
    procedure: dict[str, Any]
    flag: FlagNumber
    findings: list[CheckAnswer]
    history: Annotated[list[PastValue], Field(description="At this site to the same day, the newest first.")]
    neighbours: list[NeighbourValue]


class OtherReading(Answer):
    """A reading of the same visit that nobody doubts."""

    reading: int
    parameter: str
    value: float | None
    unit: str
    censored: Mark
    kit: str | None
    flag: FlagNumber


class ReviewItem(Answer):
    """A held visit on one screen: why it is held, and what is known around it."""

    visit_id: UUID
    revision: int
    state: State
    kind: VisitKind
    flag: FlagNumber
    site: str
    site_name: str
    school: str
    stream: str | None
    stream_km: float | None
    watershed: WatershedAnswer | None
    observed_on: date
    observed_at: datetime
    received_at: datetime
    team: str | None
    notes: str | None
    conditions: dict[str, Any]
    readings: list[DoubtedReading]
    other_readings: list[OtherReading]
    visit_findings: list[CheckAnswer]
    alerts: list[AlertAnswer]
    decisions: list[DecisionAnswer]


class ReviewPage(Answer):
    """A page of held visits, the worst first."""

    items: list[ReviewItem]
    next: str | None


class AlertRow(AlertAnswer):
    """An alert with the visit that raised it. ``acknowledged_by`` is for the coordinator only."""

    visit_id: UUID
    revision: int
    state: State
    site: str
    school: str
    observed_on: date
    raised_at: datetime
    acknowledged_at: datetime | None
    acknowledged_by: str | None


class AlertPage(Answer):
    """A page of alerts, the newest first."""

    items: list[AlertRow]
    next: str | None
