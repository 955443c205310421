"""Store rows of one table in PostgreSQL as one stream: it takes them faster than any number of inserts."""

from collections.abc import Iterable, Mapping
from typing import Any

import psycopg
import sqlalchemy as sa
from sqlalchemy.exc import DBAPIError


def copy_rows(connection: sa.Connection, table: sa.Table, rows: Iterable[Mapping[str, Any]]) -> None:
    """Store rows that have a value for every column of the table.

    Raises
    ------
    DBAPIError
        Of the kinds that an insert raises.
    """
    dialect = connection.dialect
    kinds = (column.type.dialect_impl(dialect).bind_processor(dialect) for column in table.columns)
    columns = list(zip(table.columns.keys(), kinds, strict=True))
    quote = dialect.identifier_preparer.quote
    statement = f"COPY {quote(table.name)} ({', '.join(quote(name) for name, _ in columns)}) FROM STDIN"
    driver: Any = connection.connection.driver_connection
    try:
        with driver.cursor() as cursor, cursor.copy(statement) as copy:
            for row in rows:
                copy.write_row([written(row[name]) if written else row[name] for name, written in columns])
    except psycopg.Error as error:
        raise DBAPIError.instance(statement, None, error, psycopg.Error, hide_parameters=True) from error
