"""How Alembic runs here: with the service's own engine, one transaction for all, on both databases."""

from typing import Any

import sqlalchemy as sa
from alembic import context
from alembic.autogenerate.api import AutogenContext
from sqlmodel import SQLModel
from sqlmodel.sql.sqltypes import AutoString, UTCDateTime

from service.changes import tables as _changes  # noqa: F401
from service.core.columns import NumberEnum, TextEnum
from service.core.database import make_engine
from service.criteria import tables as _criteria  # noqa: F401
from service.indices import tables as _indices  # noqa: F401
from service.review import tables as _review  # noqa: F401
from service.schools import tables as _schools  # noqa: F401
from service.sites import tables as _sites  # noqa: F401
from service.visits import tables as _visits  # noqa: F401

MIGRATION_LOCK = 7_466_201  # any number that only this service locks


def render_item(kind: str, item: Any, autogen: AutogenContext) -> str | bool:
    """Print our column types as the plain ones that they are in the table."""
    if kind == "type":
        if isinstance(item, UTCDateTime):
            return "sa.DateTime(timezone=True)"
        if isinstance(item, NumberEnum):
            return "sa.SmallInteger()"
        if isinstance(item, TextEnum):
            return f"sa.String({item.impl_instance.length})"
        if isinstance(item, sa.JSON):
            autogen.imports.add("from sqlalchemy.dialects.postgresql import JSONB")
            return 'sa.JSON().with_variant(JSONB(), "postgresql")'
        if isinstance(item, sa.String | AutoString):
            length = item.length
            if "postgresql" in item._variant_mapping:
                return f'sa.String({length}).with_variant(sa.String({length}, collation="C"), "postgresql")'
            return f"sa.String({length})" if length else "sa.String()"
    return False


def lock(connection: sa.Connection) -> None:
    """Let one process at a time migrate; the others wait and then find nothing to do."""
    if connection.dialect.name == "postgresql":
        connection.execute(sa.text("SELECT pg_advisory_xact_lock(:key)"), {"key": MIGRATION_LOCK})


def run() -> None:
    """Run the migrations on the address that the caller put into the configuration."""
    engine = make_engine(context.config.attributes["url"], foreign_keys=False)
    with engine.connect() as connection:
        context.configure(
            connection=connection,
            target_metadata=SQLModel.metadata,
            render_item=render_item,
            render_as_batch=True,
            transactional_ddl=True,
            compare_server_default=True,
            autogenerate_plugins=["alembic.autogenerate.*", "alembic.ext.checkconstraint_byname"],
        )
        with context.begin_transaction():
            lock(connection)
            context.run_migrations()
    engine.dispose()


run()
