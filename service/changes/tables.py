"""The register of changes: one row for each thing that was made, altered or taken back."""

from datetime import datetime
from enum import StrEnum

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import NO_TEXT, code_text, one_of, text_enum


class Subject(StrEnum):
    """What kind of thing changed."""

    SCHOOL = "school"
    SITE = "site"
    KIT = "kit"
    KIT_LOT = "kit-lot"
    WATERSHED = "watershed"
    CRITERION = "criterion"
    INDEX = "index"
    KEY = "key"
    VISIT = "visit"
    MAPPING = "mapping"


class Deed(StrEnum):
    """What was done to it."""

    MADE = "made"
    CHANGED = "changed"
    DECIDED = "decided"
    RECKONED = "reckoned"
    WITHDRAWN = "withdrawn"
    REMOVED = "removed"


class ChangeCounter(SQLModel, table=True):
    """A single row that hands out change numbers; its lock makes number order commit order."""

    __tablename__ = "change_counter"
    __table_args__ = (sa.CheckConstraint("id = 1", name="single_row"),)

    id: int = Field(primary_key=True, sa_type=sa.SmallInteger, sa_column_kwargs={"autoincrement": False})
    last: int = Field(sa_type=sa.BigInteger)


class Change(SQLModel, table=True):
    """One change. ``number`` rises in the order of commits, without gaps that could fill later.

    ``what`` says in a few words which part was changed: the fields of a patch, the revision of a visit, the
    kind of a decision. It never holds what was private.
    """

    __tablename__ = "change"
    __table_args__ = (
        sa.CheckConstraint(one_of("subject", Subject), name="subject_is_known"),
        sa.CheckConstraint(one_of("action", Deed), name="action_known"),
        sa.Index("ix_change_subject", "subject", "subject_id"),
    )

    number: int = Field(primary_key=True, sa_type=sa.BigInteger, sa_column_kwargs={"autoincrement": False})
    subject: Subject = Field(sa_type=text_enum(Subject))
    subject_id: str = Field(sa_type=code_text(64))
    action: Deed = Field(
        default=Deed.CHANGED,
        sa_type=text_enum(Deed),
        sa_column_kwargs={"server_default": Deed.CHANGED.value},
    )
    what: str = Field(default="", max_length=300, sa_column_kwargs={"server_default": NO_TEXT})
    key_id: str | None = Field(default=None, sa_type=code_text(64))
    at: datetime
