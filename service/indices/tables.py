"""Table of the multimetric indices that a network has made from its own reference sites."""

from datetime import date, datetime
from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import code_text, document


class NetworkIndex(SQLModel, table=True):
    """One frozen definition of a multimetric index: a new reference condition is the next number.

    ``metrics`` holds each metric with what its scoring was frozen at, ``bands`` the classes and how many of
    the reference visits fell into each, ``reference_sites`` what each site gave. The index is for the one
    watershed, the months and the gear that its reference visits come from; without ``gear`` for any.
    """

    __tablename__ = "network_index"
    __table_args__ = (sa.CheckConstraint("number >= 1", name="number_counts_from_one"),)

    code: str = Field(primary_key=True, sa_type=code_text())
    number: int = Field(primary_key=True, sa_type=sa.SmallInteger, sa_column_kwargs={"autoincrement": False})
    title: str = Field(max_length=120)
    watershed_scheme: str = Field(sa_type=code_text(16))
    watershed_code: str = Field(sa_type=code_text(16))
    months: list[Any] = Field(sa_type=document())
    gear: str | None = Field(default=None, sa_type=code_text())
    scoring: str = Field(max_length=32)
    metrics: list[Any] = Field(sa_type=document())
    bands: list[Any] = Field(sa_type=document())
    reference_sites: list[Any] = Field(sa_type=document())
    reference_from: date
    reference_until: date
    reference_visits: int
    reference_version: str = Field(max_length=16)
    key_id: str | None = Field(default=None, sa_type=code_text())
    created_at: datetime
