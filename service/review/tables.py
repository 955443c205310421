"""Table of the coordinator's decisions. Rows are only ever added: a decision is undone by another one."""

from datetime import datetime
from enum import StrEnum
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import code_text, flag_column, number_enum, one_of, text_enum
from service.core.ids import uuid7
from service.science.flags import Flag
from service.visits.tables import State


class Action(StrEnum):
    """What a coordinator may decide about a visit, or about one reading of it."""

    RELEASE = "release"
    REJECT = "reject"
    SET_FLAG = "set-flag"


class Decision(SQLModel, table=True):
    """One decision: who, when, why, and what stood before and after it.

    ``position`` and the flags belong to ``set-flag``; the states to ``release`` and ``reject``.
    """

    __tablename__ = "decision"
    __table_args__ = (
        sa.ForeignKeyConstraint(
            ["visit_id", "revision"], ["visit_revision.visit_id", "visit_revision.revision"]
        ),
        sa.CheckConstraint(one_of("action", Action), name="action_known"),
        sa.CheckConstraint("(action = 'set-flag') = (position IS NOT NULL)", name="position_of_set_flag"),
        sa.CheckConstraint("(position IS NULL) = (flag IS NULL)", name="flag_of_a_reading"),
        sa.CheckConstraint(f"flag IS NULL OR {flag_column()}", name="flag_known"),
        sa.Index("ix_decision_visit", "visit_id", "revision"),
    )

    id: UUID = Field(primary_key=True, default_factory=uuid7)
    visit_id: UUID
    revision: int
    action: Action = Field(sa_type=text_enum(Action))
    position: int | None = Field(default=None, sa_type=sa.SmallInteger)
    flag_before: Flag | None = Field(default=None, sa_type=number_enum(Flag))
    flag: Flag | None = Field(default=None, sa_type=number_enum(Flag))
    state_before: State = Field(sa_type=text_enum(State))
    state: State = Field(sa_type=text_enum(State))
    reason: str = Field(max_length=1000)
    key_id: str | None = Field(default=None, sa_type=code_text())
    decided_at: datetime
