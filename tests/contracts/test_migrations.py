"""Migrations: from nothing to the tables in code and back, rows kept, all or nothing, safe to run at once."""

import shutil
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from fastapi.testclient import TestClient
from sqlmodel import SQLModel

from service.app import create_app
from service.core.database import make_engine
from service.core.migrate import check, downgrade, is_current, upgrade
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, catch, reading, visit
from tests.databases import VERSION_TABLE, read_content
from tests.intake.imports.files import MAPPING
from tests.network.reference_network import CATCHES, index_body, spring_catch

PROJECT = Path(__file__).parents[2]
SCRIPTS = ScriptDirectory(str(PROJECT / "migrations"))
# Oldest first.
REVISIONS = [script.revision for script in SCRIPTS.walk_revisions()][::-1]
Rows = dict[str, list[dict[str, Any]]]


@contextmanager
def engine_of(url: str) -> Iterator[sa.Engine]:
    engine = make_engine(url)
    yield engine
    engine.dispose()


def tables(url: str) -> set[str]:
    with engine_of(url) as engine:
        return set(sa.inspect(engine).get_table_names())


def rows(url: str) -> Rows:
    with engine_of(url) as engine:
        return {table.name: found for table, found in read_content(engine)}


def stands_at_head(url: str) -> bool:
    with engine_of(url) as engine:
        return is_current(engine)


def fill(url: str) -> Rows:
    """Put rows into every table, through the service wherever it has an address for them."""
    few = Settings(database_url=url, reference_visits_min=4, reference_sites_min=1)
    with TestClient(create_app(few)) as client:
        api = Api(client, client.app.state.engine)
        api.keys = {"coordinator": api.key(Role.COORDINATOR)}
        api.post("/v1/schools", {"code": "heron", "name": "Heron School", "time_zone": "UTC"})
        place = {"scheme": "huc", "code": "020700100103"}
        site = {"code": "reed-02", "name": "Reed", "school": "heron", "elevation_m": 120, "watershed": place}
        api.post("/v1/sites", site)
        kit = {
            "code": "card", "name": "Card", "kind": "strip", "parameter": "ph", "unit": "std units",
            "lower": 4, "upper": 9, "marks": [4, 5, 6, 7, 8, 9], "reads_zero": False,
        }  # fmt: skip
        api.post("/v1/kits", kit)
        limits = {"parameter": "ph", "unit": "std units", "at_least": 6, "applies_from": "2026-01-01"}
        api.post("/v1/criteria", limits | {"code": "our-ph", "name": "pH", "source": "A rule"})
        lot, once = {"school": "heron", "code": "box-a", "kit": "card"}, {"Idempotency-Key": "box-a"}
        api.call("POST", "/v1/kit-lots", "coordinator", json=lot, headers=once)
        api.call("PUT", "/v1/schools/heron/mappings/class-sheet", "coordinator", json=MAPPING)
        api.submit(visit(catch=catch(("mayfly", 14), ("a thing with legs", 3))), "coordinator")
        held = api.submit(visit(team="b", readings=[reading("ph", 15)]), "coordinator")
        api.submit(visit(team="c", conditions={"dead_fish": True}), "coordinator")
        for day, animals in enumerate(CATCHES[:4], 10):
            april = visit(observed_at=f"2026-04-{day}T10:15:00+00:00", catch=spring_catch(animals))
            api.submit(april, "coordinator")
        api.post("/v1/indices", index_body(reference_sites=["reed-02"], reference_until="2026-12-31"))
        api.post(f"/v1/visits/{held['visit_id']}/decisions", {"action": "reject", "reason": "no such water"})
    return rows(url)


def test_there_is_one_line_of_migrations_with_one_end() -> None:
    assert len(SCRIPTS.get_heads()) == 1
    assert len(SCRIPTS.get_bases()) == 1
    assert not any(script.is_merge_point for script in SCRIPTS.walk_revisions())


def test_up_gives_the_tables_in_code_and_down_leaves_nothing(empty_database_url: Callable[[], str]) -> None:
    url = empty_database_url()
    upgrade(url)
    check(url)
    assert stands_at_head(url)
    assert tables(url) == set(SQLModel.metadata.tables) | {VERSION_TABLE}
    downgrade(url, "base")
    assert tables(url) == {VERSION_TABLE}
    assert not stands_at_head(url)
    upgrade(url)
    check(url)


def test_rows_stay_when_there_is_nothing_to_do_and_when_the_way_leads_down_and_up_again(
    empty_database_url: Callable[[], str],
) -> None:
    url = empty_database_url()
    upgrade(url)
    before = fill(url)
    assert [name for name, found in before.items() if not found] == []
    upgrade(url)
    assert in_order(rows(url)) == in_order(before)
    for older in REVISIONS[-2::-1]:
        downgrade(url, older)
        kept = rows(url)
        upgrade(url)
        check(url)
        assert [name for name, found in kept.items() if len(found) != expected(before, kept, name)] == []
        assert without_new_columns(rows(url), kept) == in_order(kept)
        with engine_of(url) as engine:
            assert dangling(engine) == []


def expected(before: Rows, kept: Rows, name: str) -> int:
    """Return how many rows are still there: that a mapping was changed goes with the mappings themselves."""
    gone = "mapping" if "kept_mapping" not in kept else None
    return len([row for row in before[name] if name != "change" or row["subject"] != gone])


def in_order(found: Rows) -> Rows:
    return {name: sorted(rows, key=repr) for name, rows in found.items()}


def without_new_columns(found: Rows, kept: Rows) -> Rows:
    columns = {name: list(rows[0]) for name, rows in kept.items()}
    return in_order({name: [{c: row[c] for c in columns[name]} for row in found[name]] for name in kept})


def dangling(engine: sa.Engine) -> list[tuple]:
    """Return the references that point to nothing; PostgreSQL never lets one be."""
    if engine.dialect.name != "sqlite":
        return []
    with engine.begin() as connection:
        return [tuple(row) for row in connection.exec_driver_sql("PRAGMA foreign_key_check")]


@pytest.fixture
def with_a_faulty_migration(tmp_path: Path) -> Path:
    """Our migrations and one more, which makes a table, changes one, and then fails."""
    folder = tmp_path / "migrations"
    shutil.copytree(PROJECT / "migrations", folder, ignore=shutil.ignore_patterns("__pycache__"))
    (folder / "versions" / "faulty.py").write_text(
        f'''
import sqlalchemy as sa
from alembic import op

revision, down_revision = "faulty", "{REVISIONS[-1]}"


def upgrade():
    op.create_table("half_made", sa.Column("id", sa.Integer()))
    with op.batch_alter_table("school") as school:
        school.add_column(sa.Column("half_made", sa.Integer()))
    op.execute("INSERT INTO half_made VALUES (1)")
    raise RuntimeError("the lights went out")
''',
        encoding="utf-8",
    )
    return folder


def upgrade_from(folder: Path, url: str) -> None:
    config = Config()
    config.set_main_option("script_location", str(folder))
    config.attributes["url"] = url
    command.upgrade(config, "head")


def test_a_migration_that_fails_leaves_nothing(
    empty_database_url: Callable[[], str], with_a_faulty_migration: Path
) -> None:
    url = empty_database_url()
    with pytest.raises(RuntimeError, match="lights"):
        upgrade_from(with_a_faulty_migration, url)
    assert tables(url) == set()


def test_a_migration_that_fails_leaves_what_was_there_before(
    empty_database_url: Callable[[], str], with_a_faulty_migration: Path
) -> None:
    url = empty_database_url()
    upgrade(url)
    with pytest.raises(RuntimeError, match="lights"):
        upgrade_from(with_a_faulty_migration, url)
    check(url)
    assert stands_at_head(url)
    assert tables(url) == set(SQLModel.metadata.tables) | {VERSION_TABLE}


UPGRADE_WHEN_TOLD = """
import sys
import alembic.command, service.visits.tables
from service.core.migrate import upgrade
print("ready", flush=True)
sys.stdin.readline()
upgrade(sys.argv[1])
"""


def test_four_processes_that_migrate_at_once_all_succeed(empty_database_url: Callable[[], str]) -> None:
    url = empty_database_url()
    processes = [
        subprocess.Popen(
            [sys.executable, "-c", UPGRADE_WHEN_TOLD, url],
            cwd=PROJECT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for _ in range(4)
    ]
    for one in processes:
        assert one.stdout is not None
        assert one.stdout.readline() == "ready\n"
    for one in processes:
        assert one.stdin is not None
        one.stdin.write("go\n")
        one.stdin.flush()
    said = [one.communicate(timeout=60)[1] for one in processes]
    assert [one.returncode for one in processes] == [0] * 4, said
    assert stands_at_head(url)
    check(url)
