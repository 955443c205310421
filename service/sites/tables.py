"""Tables of the places that are watched, and of the kits that a network adds to the catalogue."""

from datetime import date, datetime
from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import code_text, document


class Watershed(SQLModel, table=True):
    """A watershed: in its scheme, a code that begins with another's lies inside it."""

    __tablename__ = "watershed"

    scheme: str = Field(primary_key=True, sa_type=code_text(16))
    code: str = Field(primary_key=True, sa_type=code_text(16))
    name: str | None = Field(default=None, max_length=120)


class Site(SQLModel, table=True):
    """A reach that one school visits. ``stream_km`` counts from the mouth.

    ``public_decimals`` says how far the place is rounded for the public.
    """

    __tablename__ = "site"
    __table_args__ = (
        sa.ForeignKeyConstraint(
            ["watershed_scheme", "watershed_code"], ["watershed.scheme", "watershed.code"]
        ),
        sa.CheckConstraint(
            "(watershed_scheme IS NULL) = (watershed_code IS NULL)", name="watershed_whole_or_absent"
        ),
        sa.CheckConstraint("(latitude IS NULL) = (longitude IS NULL)", name="place_whole_or_absent"),
        sa.Index("ix_site_watershed", "watershed_scheme", "watershed_code"),
        sa.Index("ix_site_stream_order", "stream", "stream_km"),
    )

    code: str = Field(primary_key=True, sa_type=code_text())
    name: str = Field(max_length=120)
    school: str = Field(foreign_key="school.code", sa_type=code_text(), index=True)
    stream: str | None = Field(default=None, sa_type=code_text())
    stream_km: float | None = None
    latitude: float | None = None
    longitude: float | None = None
    public_decimals: int = Field(default=3, sa_type=sa.SmallInteger)
    elevation_m: float | None = None
    watershed_scheme: str | None = Field(default=None, sa_type=code_text(16))
    watershed_code: str | None = Field(default=None, sa_type=code_text(16))
    water_class: str | None = Field(default=None, max_length=32)
    time_zone: str = Field(max_length=64)
    established_on: date | None = None
    created_at: datetime


class NetworkKit(SQLModel, table=True):
    """A kit of the network's own, described like those of the catalogue; numbers in ``unit``."""

    __tablename__ = "kit"
    __table_args__ = (
        sa.CheckConstraint("(marks IS NULL) <> (step IS NULL)", name="marks_or_step"),
        sa.CheckConstraint("lower <= upper", name="limits_in_order"),
    )

    code: str = Field(primary_key=True, sa_type=code_text())
    name: str = Field(max_length=120)
    kind: str = Field(max_length=32)
    parameter: str = Field(sa_type=code_text())
    unit: str = Field(max_length=32)
    lower: float
    upper: float
    marks: list[Any] | None = Field(default=None, sa_type=document())
    step: float | None = None
    accuracy: float | None = None
    reads_zero: bool = True
    wait_minutes_min: float | None = None
    wait_minutes_max: float | None = None
    tablets: int | None = None
    sample_ml: float | None = None
    created_at: datetime


class SchoolKitLot(SQLModel, table=True):
    """A school's own box of a kit. ``blank_failed_on`` is the day of its newest blank that showed colour."""

    __tablename__ = "kit_lot"

    school: str = Field(primary_key=True, foreign_key="school.code", sa_type=code_text())
    code: str = Field(primary_key=True, sa_type=code_text())
    kit: str = Field(sa_type=code_text())
    expires_on: date | None = None
    blank_failed_on: date | None = None
    created_at: datetime
