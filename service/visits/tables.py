"""Tables of the visits: the register row, its revisions, and what each revision holds.

A revision is written once. ``visit`` says which revision counts and in which state it is; readings, counts,
findings, derived values and scores belong to a revision, so nothing that was ever handed in is lost.
"""

from datetime import date, datetime
from enum import StrEnum
from typing import Any
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import NO_TEXT, code_text, document, flag_column, number_enum, one_of, text_enum
from service.science.flags import Flag
from service.science.scores.index import Standing
from service.science.types import Censoring, VisitKind

WHOLE_VISIT = -1  # the position of findings that concern no single reading


class State(StrEnum):
    """Where a visit stands: waiting for review, public, or out of the record."""

    HELD = "held"
    RELEASED = "released"
    REJECTED = "rejected"
    WITHDRAWN = "withdrawn"


def _revision() -> sa.ForeignKeyConstraint:
    """Return the reference of a part to its revision."""
    return sa.ForeignKeyConstraint(
        ["visit_id", "revision"], ["visit_revision.visit_id", "visit_revision.revision"]
    )


class Visit(SQLModel, table=True):
    """A visit in the register. ``observed_on`` is the local date, ``flag`` the worst that was found.

    ``published`` tells that the public has seen it at some time, and so is to be told when it is gone.
    """

    __tablename__ = "visit"
    __table_args__ = (
        sa.CheckConstraint(one_of("state", State), name="state_known"),
        sa.CheckConstraint(flag_column(), name="flag_known"),
        sa.CheckConstraint("revision >= 1", name="revision_counts_from_one"),
        sa.CheckConstraint(one_of("kind", VisitKind), name="kind_known"),
        sa.Index("ix_visit_site_date", "site", "observed_on", "id"),
        sa.Index("ix_visit_date", "observed_on", "id"),
    )

    id: UUID = Field(primary_key=True)
    site: str = Field(foreign_key="site.code", sa_type=code_text())
    school: str = Field(foreign_key="school.code", sa_type=code_text(), index=True)
    revision: int = Field(sa_type=sa.Integer)
    kind: VisitKind = Field(
        default=VisitKind.ROUTINE,
        sa_type=text_enum(VisitKind),
        sa_column_kwargs={"server_default": VisitKind.ROUTINE.value},
    )
    state: State = Field(sa_type=text_enum(State))
    published: bool = Field(default=False, sa_column_kwargs={"server_default": sa.false()})
    observed_at: datetime
    observed_on: date
    flag: Flag = Field(sa_type=number_enum(Flag))

    def enter(self, state: State) -> None:
        """Let the visit stand in a state."""
        self.state = state
        self.published = self.published or state is State.RELEASED


class VisitRevision(SQLModel, table=True):
    """One handed-in version of a visit, as sent and when.

    ``gauging`` is what the discharge was measured by, ``bottles`` a test of oxygen demand. ``scored_with``
    names the definitions and rules that its scores were made with.
    """

    __tablename__ = "visit_revision"

    visit_id: UUID = Field(primary_key=True, foreign_key="visit.id")
    revision: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    observed_at: datetime
    observed_on: date
    utc_offset_minutes: int
    team: str | None = Field(default=None, sa_type=code_text())
    conditions: dict[str, Any] = Field(sa_type=document())
    notes: str | None = Field(default=None, max_length=2000)
    catch: dict[str, Any] | None = Field(default=None, sa_type=document())
    catch_hash: str | None = Field(default=None, max_length=64)
    gauging: dict[str, Any] | None = Field(default=None, sa_type=document())
    bottles: dict[str, Any] | None = Field(default=None, sa_type=document())
    latitude: float | None = None
    longitude: float | None = None
    content_hash: str = Field(max_length=64)
    key_id: str | None = Field(default=None, sa_type=code_text())
    received_at: datetime
    reference_version: str = Field(max_length=16)
    scored_with: str = Field(default="", max_length=40, sa_column_kwargs={"server_default": NO_TEXT})


class VisitReading(SQLModel, table=True):
    """One reading of a revision: the value that counts, its interval, and what was written.

    ``anomaly`` is its distance from the site's median of the season and ``residual`` what is left of it after
    the common shift of the neighbours, both on the scale that site-outlier compares on. ``accepted`` tells
    that a person let a suspect reading stand.
    """

    __tablename__ = "reading"
    __table_args__ = (
        _revision(),
        sa.CheckConstraint(f"censored IS NULL OR {one_of('censored', Censoring)}", name="censored_known"),
        sa.CheckConstraint(flag_column(), name="flag_known"),
        sa.Index("ix_reading_parameter", "parameter", "visit_id"),
    )

    visit_id: UUID = Field(primary_key=True)
    revision: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    position: int = Field(
        primary_key=True, sa_type=sa.SmallInteger, sa_column_kwargs={"autoincrement": False}
    )
    parameter: str = Field(sa_type=code_text())
    replicate: int = Field(sa_type=sa.SmallInteger)
    unit: str = Field(max_length=32)
    value: float | None = None
    censored: Censoring | None = Field(default=None, sa_type=text_enum(Censoring, 1))
    low: float | None = None
    high: float | None = None
    kit: str | None = Field(default=None, sa_type=code_text())
    written_value: float | None = None
    written_unit: str = Field(max_length=32)
    written_censored: Censoring | None = Field(default=None, sa_type=text_enum(Censoring, 1))
    procedure: dict[str, Any] = Field(sa_type=document())
    kit_lot: str | None = Field(default=None, sa_type=code_text())
    anomaly: float | None = None
    residual: float | None = None
    accepted: bool = Field(default=False, sa_column_kwargs={"server_default": sa.false()})
    flag: Flag = Field(sa_type=number_enum(Flag))


class VisitCount(SQLModel, table=True):
    """One line of a revision's catch; ``taxon`` is null where the written name is not known."""

    __tablename__ = "taxon_count"
    __table_args__ = (
        _revision(),
        sa.CheckConstraint("(count IS NULL) <> (abundance IS NULL)", name="count_or_abundance"),
        sa.CheckConstraint("count >= 0", name="count_not_negative"),
    )

    visit_id: UUID = Field(primary_key=True)
    revision: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    position: int = Field(
        primary_key=True, sa_type=sa.SmallInteger, sa_column_kwargs={"autoincrement": False}
    )
    written_name: str = Field(max_length=120)
    taxon: str | None = Field(default=None, sa_type=code_text(), index=True)
    life_stage: str | None = Field(default=None, max_length=16)
    count: int | None = None
    abundance: str | None = Field(default=None, max_length=1)


class VisitFinding(SQLModel, table=True):
    """What one check said of one reading, or of the whole visit (position -1)."""

    __tablename__ = "finding"
    __table_args__ = (_revision(), sa.CheckConstraint(flag_column(), name="flag_known"))

    visit_id: UUID = Field(primary_key=True)
    revision: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    position: int = Field(
        primary_key=True, sa_type=sa.SmallInteger, sa_column_kwargs={"autoincrement": False}
    )
    check: str = Field(primary_key=True, sa_type=code_text())
    version: int = Field(sa_type=sa.SmallInteger)
    flag: Flag = Field(sa_type=number_enum(Flag))
    message: str = Field(max_length=1000)
    advice: str = Field(max_length=1000)
    evidence: dict[str, Any] = Field(sa_type=document())
    likely_slip: dict[str, Any] | None = Field(default=None, sa_type=document())


class VisitDerived(SQLModel, table=True):
    """A value computed from a revision's readings, with how and what was assumed."""

    __tablename__ = "derived_value"
    __table_args__ = (_revision(),)

    visit_id: UUID = Field(primary_key=True)
    revision: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    parameter: str = Field(primary_key=True, sa_type=code_text())
    value: float
    unit: str = Field(max_length=32)
    low: float | None = None
    high: float | None = None
    censored: Censoring | None = Field(default=None, sa_type=text_enum(Censoring, 1))
    method: str = Field(sa_type=code_text())
    assumed: list[Any] = Field(sa_type=document())


class VisitScore(SQLModel, table=True):
    """A score of a revision under one definition of its index, and the reference data behind it.

    ``superseded`` tells that a newer definition of the index has scored the same revision.
    """

    __tablename__ = "score"
    __table_args__ = (
        _revision(),
        sa.CheckConstraint(one_of("standing", Standing), name="standing_known"),
        sa.Index("ix_score_index", "index", "visit_id"),
    )

    visit_id: UUID = Field(primary_key=True)
    revision: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    index: str = Field(primary_key=True, sa_type=code_text())
    definition: int = Field(
        primary_key=True, sa_type=sa.SmallInteger, sa_column_kwargs={"autoincrement": False}
    )
    value: float | None = None
    band: str | None = Field(default=None, max_length=32)
    standing: Standing = Field(sa_type=text_enum(Standing))
    low: float | None = None
    high: float | None = None
    bands: dict[str, Any] = Field(sa_type=document())
    reasons: list[Any] = Field(sa_type=document())
    inputs: list[Any] = Field(sa_type=document())
    reference_version: str = Field(max_length=16)
    superseded: bool = Field(default=False, sa_column_kwargs={"server_default": sa.false()})


class VisitAlert(SQLModel, table=True):
    """Something in a revision that cannot wait, until a coordinator has seen it."""

    __tablename__ = "alert"
    __table_args__ = (_revision(),)

    visit_id: UUID = Field(primary_key=True)
    revision: int = Field(primary_key=True, sa_column_kwargs={"autoincrement": False})
    alert: str = Field(primary_key=True, sa_type=code_text())
    message: str = Field(max_length=1000)
    cautions: list[Any] = Field(sa_type=document())
    raised_at: datetime
    acknowledged_at: datetime | None = Field(default=None, index=True)
    acknowledged_by: str | None = Field(default=None, sa_type=code_text())
