"""The register of changes: one row for each thing that was made, altered or taken back."""

from datetime import datetime
from enum import StrEnum

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import code_text, one_of, text_enum


class Subject(StrEnum):
    """What kind of thing changed."""

    SCHOOL = "school"
    SITE = "site"
    KIT = "kit"
    VISIT = "visit"


class ChangeCounter(SQLModel, table=True):
    """A single row that hands out change numbers; its lock makes number order commit order."""

    __tablename__ = "change_counter"
    __table_args__ = (sa.CheckConstraint("id = 1", name="single_row"),)

    id: int = Field(primary_key=True, sa_type=sa.SmallInteger, sa_column_kwargs={"autoincrement": False})
    last: int = Field(sa_type=sa.BigInteger)


class Change(SQLModel, table=True):
    """One change. ``number`` rises in the order of commits, without gaps that could fill later."""

    __tablename__ = "change"
    __table_args__ = (sa.CheckConstraint(one_of("subject", Subject), name="subject_known"),)

    number: int = Field(primary_key=True, sa_type=sa.BigInteger, sa_column_kwargs={"autoincrement": False})
    subject: Subject = Field(sa_type=text_enum(Subject))
    subject_id: str = Field(sa_type=code_text(64))
    key_id: str | None = Field(default=None, sa_type=code_text(64))
    at: datetime
