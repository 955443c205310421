"""Column types that behave alike on SQLite and PostgreSQL."""

from enum import IntEnum, StrEnum
from typing import Any

import sqlalchemy as sa
from sqlalchemy.dialects.postgresql import JSONB
from sqlalchemy.engine import Dialect


class TextEnum(sa.types.TypeDecorator[StrEnum]):
    """A ``StrEnum`` in Python, plain text in the table; the table names its own CHECK."""

    impl = sa.String
    cache_ok = True

    def __init__(self, kind: type[StrEnum], length: int = 32) -> None:
        super().__init__(length)
        self.kind = kind

    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        """Write the member's text; anything that is no member raises ``ValueError``."""
        return None if value is None else self.kind(value).value

    def process_result_value(self, value: Any, dialect: Dialect) -> StrEnum | None:
        """Read the text back as a member."""
        return None if value is None else self.kind(value)


class NumberEnum(sa.types.TypeDecorator[IntEnum]):
    """An ``IntEnum`` in Python, a small integer in the table."""

    impl = sa.SmallInteger
    cache_ok = True

    def __init__(self, kind: type[IntEnum]) -> None:
        super().__init__()
        self.kind = kind

    def process_bind_param(self, value: Any, dialect: Dialect) -> int | None:
        """Write the member's number."""
        return None if value is None else int(self.kind(value))

    def process_result_value(self, value: Any, dialect: Dialect) -> IntEnum | None:
        """Read the number back as a member."""
        return None if value is None else self.kind(value)


def text_enum(kind: type[StrEnum], length: int = 32) -> Any:
    """Return the type of a column that holds members of ``kind`` as text."""
    return TextEnum(kind, length)


def number_enum(kind: type[IntEnum]) -> Any:
    """Return the type of a column that holds members of ``kind`` as small integers."""
    return NumberEnum(kind)


def as_stored(column: Any) -> Any:
    """Return a column of members as the plain text or number in the table: a long list makes no members."""
    return sa.type_coerce(column, column.type.impl_instance).label(column.key)


def code_text(length: int = 64) -> Any:
    """Return the type of a code: text in byte order, so that a prefix is a range on both databases."""
    return sa.String(length).with_variant(sa.String(length, collation="C"), "postgresql")


def document() -> Any:
    """Return the type of a small JSON document that is written once and read whole."""
    return sa.JSON(none_as_null=True).with_variant(JSONB(none_as_null=True), "postgresql")


# As both databases write the default of a column back; an empty string would be written as nothing at all.
NO_TEXT = sa.text("''")


def one_of(column: str, kind: type[StrEnum]) -> str:
    """Return the SQL of a CHECK that a text column holds a member of ``kind``."""
    return f"{column} IN ({', '.join(repr(member.value) for member in kind)})"


def flag_column(column: str = "flag") -> str:
    """Return the SQL of a CHECK that a column holds one of the primary flags."""
    return f"{column} IN (1, 2, 3, 4, 9)"
