"""Tables of the schools, of the keys that speak for them, and of what they keep about their own sheets."""

from datetime import date, datetime
from enum import StrEnum
from typing import Any
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import code_text, one_of, text_enum
from service.core.ids import uuid7


class Role(StrEnum):
    """What a key may do: hand in for one school, steer the network, or read what is released."""

    SCHOOL = "school"
    COORDINATOR = "coordinator"
    READER = "reader"


class School(SQLModel, table=True):
    """A school of the network. ``time_zone`` is an IANA name; the contact is for the coordinator only."""

    __tablename__ = "school"

    code: str = Field(primary_key=True, sa_type=code_text())
    name: str = Field(max_length=120)
    time_zone: str = Field(max_length=64)
    contact_email: str | None = Field(default=None, max_length=254)
    created_at: datetime


class AccessKey(SQLModel, table=True):
    """A key, kept only as its fingerprint."""

    __tablename__ = "access_key"
    __table_args__ = (
        sa.CheckConstraint(one_of("role", Role), name="role_known"),
        sa.CheckConstraint("(role = 'school') = (school IS NOT NULL)", name="school_keys_name_their_school"),
    )

    id: UUID = Field(primary_key=True, default_factory=uuid7)
    role: Role = Field(sa_type=text_enum(Role))
    school: str | None = Field(default=None, foreign_key="school.code", sa_type=code_text(), index=True)
    label: str = Field(max_length=120)
    fingerprint: str = Field(unique=True, max_length=64)
    created_at: datetime
    expires_on: date | None = None
    revoked_at: datetime | None = None
    last_used_at: datetime | None = None


class KeptMapping(SQLModel, table=True):
    """How a school's own sheets are read, under the name that it gave. ``content`` is what was sent, checked.

    It is private to the school: words of a sheet may be names of children.
    """

    __tablename__ = "kept_mapping"

    school: str = Field(primary_key=True, foreign_key="school.code", sa_type=code_text())
    code: str = Field(primary_key=True, sa_type=code_text())
    content: dict[str, Any] = Field(sa_type=sa.JSON)
    changed_at: datetime


class AnsweredOnce(SQLModel, table=True):
    """What a caller was answered to a request with an ``Idempotency-Key``, kept to be answered again."""

    __tablename__ = "answered_once"

    caller: str = Field(primary_key=True, sa_type=code_text())
    token: str = Field(primary_key=True, sa_type=code_text(255))
    address: str = Field(max_length=300)
    content_hash: str = Field(max_length=64)
    answer: str | None = Field(default=None, sa_type=sa.Text)
    at: datetime = Field(index=True)
