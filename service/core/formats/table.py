"""What a list is made of, declared once: from it come headers, dictionaries and schemas of every format."""

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import Any

# One row of a list, flat: a value for every column that its table declares.
FlatRow = Mapping[str, Any]

NO_UNIT = "none"


class Kind(StrEnum):
    """What a column holds. A code is text, also where it is made of digits; a measured number is a number."""

    TEXT = "text"
    WHOLE = "whole number"
    NUMBER = "number"
    DATE = "date"


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a list. ``unit`` names the unit of every value, or the column that holds it."""

    name: str
    kind: Kind
    text: str
    unit: str = NO_UNIT
    may_be_empty: bool = False


@dataclass(frozen=True, slots=True)
class Table:
    """A list of rows. The columns of ``key`` together tell its rows apart.

    ``row_is_a_place`` tells that a row describes the place it lies at, and not what was found there.
    """

    name: str
    title: str
    text: str
    columns: tuple[Column, ...]
    key: tuple[str, ...]
    row_is_a_place: bool = False

    @property
    def names(self) -> tuple[str, ...]:
        """The names of the columns, in their order."""
        return tuple(column.name for column in self.columns)
