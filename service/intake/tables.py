"""Table of the mappings that schools keep."""

from datetime import datetime
from typing import Any

import sqlalchemy as sa
from sqlmodel import Field, SQLModel

import service.core.database  # noqa: F401  sets the naming convention before the first table
from service.core.columns import code_text


class KeptMapping(SQLModel, table=True):
    """A mapping under the name its school gave it. ``content`` is what was sent, checked."""

    __tablename__ = "kept_mapping"

    school: str = Field(primary_key=True, foreign_key="school.code", sa_type=code_text())
    code: str = Field(primary_key=True, sa_type=code_text())
    content: dict[str, Any] = Field(sa_type=sa.JSON)
    changed_at: datetime
