"""Table of the criteria that a network has set, which replace the default ones of their parameter."""

from datetime import date, datetime

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import code_text


class NetworkCriterion(SQLModel, table=True):
    """A value to be met, in the parameter's unit of storage, from one local date on.

    Its limits never change: a new standard is a new criterion, and the old one gets its last date.
    """

    __tablename__ = "criterion"
    __table_args__ = (
        sa.CheckConstraint("at_least IS NOT NULL OR at_most IS NOT NULL", name="limits_something"),
        sa.CheckConstraint("at_least <= at_most", name="limits_in_order"),
        sa.CheckConstraint("applies_from <= applies_until", name="dates_in_order"),
        sa.CheckConstraint(
            "(watershed_scheme IS NULL) = (watershed_code IS NULL)", name="watershed_whole_or_absent"
        ),
    )

    code: str = Field(primary_key=True, sa_type=code_text())
    name: str = Field(max_length=120)
    parameter: str = Field(sa_type=code_text())
    at_least: float | None = None
    at_most: float | None = None
    water_class: str | None = Field(default=None, max_length=32)
    watershed_scheme: str | None = Field(default=None, sa_type=code_text(16))
    watershed_code: str | None = Field(default=None, sa_type=code_text(16))
    applies_from: date
    applies_until: date | None = None
    source: str = Field(max_length=300)
    created_at: datetime
