"""What is asked of a database about itself."""

from collections.abc import Sequence

from sqlalchemy import Engine


def settings_of(engine: Engine, names: Sequence[str]) -> dict[str, str]:
    """Return settings of a database as they hold for this engine: pragmas of SQLite, or what SHOW says."""
    ask = "PRAGMA" if engine.dialect.name == "sqlite" else "SHOW"
    with engine.execution_options(reads_only=True).connect() as connection:
        return {name: str(connection.exec_driver_sql(f"{ask} {name}").scalar_one()) for name in names}
