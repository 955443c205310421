"""Bring a database to the current schema, and say whether it is there."""

from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Engine

PROJECT = Path(__file__).resolve().parents[2]


def _config(url: str) -> Config:
    config = Config(toml_file=PROJECT / "pyproject.toml")
    config.attributes["url"] = url
    return config


def upgrade(url: str, revision: str = "head") -> None:
    """Run the migrations up to ``revision``."""
    command.upgrade(_config(url), revision)


def downgrade(url: str, revision: str) -> None:
    """Run the migrations down to ``revision`` (``base``: an empty database)."""
    command.downgrade(_config(url), revision)


def check(url: str) -> None:
    """Raise when the tables in code and the migrated database differ."""
    command.check(_config(url))


def is_current(engine: Engine) -> bool:
    """Tell whether the database stands at the newest migration."""
    head = ScriptDirectory.from_config(_config("")).get_current_head()
    with engine.execution_options(reads_only=True).connect() as connection:
        return MigrationContext.configure(connection).get_current_revision() == head


def known_migrations() -> list[str]:
    """Return the migrations that this release knows, the newest first."""
    return [found.revision for found in ScriptDirectory.from_config(_config("")).walk_revisions()]
