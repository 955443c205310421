"""What the import contracts in pyproject.toml cannot see: where SQL, commits and waiting code may stand."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

SERVICE = Path(__file__).parents[2] / "service"
FILES = sorted(SERVICE.rglob("*.py"))
TREES = {file.relative_to(SERVICE).as_posix(): ast.parse(file.read_text("utf-8")) for file in FILES}

SQL_MODULES = {"sqlalchemy", "sqlmodel"}
SQL_BUILDERS = {"select", "insert", "update", "delete", "text"}
SQL_RUNNERS = {"exec", "execute", "exec_driver_sql", "scalars", "scalar"}
# The pragmas and the BEGIN of SQLite; the default of a column; the counts of requests in their own file.
MAY_RUN_SQL = {"core/database.py", "core/columns.py", "core/door/counts.py"}
MAY_COMMIT = {"core/database.py", "cli.py", "demo.py"}
DOOR_NAMES = ("admission", "key_first", "names_once", "rate_limit", "small_head", "watch", "whole_body")
DOORS = {f"core/door/{name}.py" for name in DOOR_NAMES}
MANNERS = (
    "compress",
    "cross_origin",
    "for_people",
    "head",
    "keep_answers",
    "keeping",
    "public_prefix",
    "ranges",
)
DOORS |= {f"core/door/{name}.py" for name in MANNERS}
MAY_AWAIT = {"app.py", "core/request_id.py", *DOORS}  # start-up and ASGI, before any route
MAXIMUM_FILE_LINES, MAXIMUM_FUNCTION_LINES = 300, 40

Function = ast.FunctionDef | ast.AsyncFunctionDef


def calls(tree: ast.Module) -> Iterator[tuple[ast.Call, str, str | None]]:
    """Give each call with the name that is called and the plain name that it is called on."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            called = node.func
            if isinstance(called, ast.Name):
                yield node, called.id, None
            elif isinstance(called, ast.Attribute):
                yield node, called.attr, called.value.id if isinstance(called.value, ast.Name) else ""


def names_from_sql(tree: ast.Module) -> tuple[set[str], set[str]]:
    """Return the local names of SQL's modules, and those of the builders imported from them."""
    modules, builders = set(), set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            modules |= {one.asname or one.name for one in node.names if one.name.split(".")[0] in SQL_MODULES}
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] in SQL_MODULES:
            builders |= {one.asname or one.name for one in node.names if one.name in SQL_BUILDERS}
    return modules, builders


def sql_in(tree: ast.Module) -> list[int]:
    """Return the lines that build SQL or run it."""
    modules, builders = names_from_sql(tree)
    return [
        node.lineno
        for node, name, on in calls(tree)
        if (on is None and name in builders)
        or (on in modules and name in SQL_BUILDERS)
        or (on is not None and name in SQL_RUNNERS)
    ]


def functions(tree: ast.Module) -> list[Function]:
    return [node for node in ast.walk(tree) if isinstance(node, Function)]


def length_without_docstring(function: Function) -> int:
    total = (function.end_lineno or 0) - function.lineno + 1
    if ast.get_docstring(function) is None:
        return total
    docstring = function.body[0]
    return total - ((docstring.end_lineno or 0) - docstring.lineno + 1)


def test_the_whole_service_is_looked_at() -> None:
    assert {"app.py", "core/database.py", "visits/queries.py", "science/watershed_code.py"} <= set(TREES)


@pytest.mark.parametrize(
    ("code", "found"),
    [
        ("import sqlalchemy as sa\nsa.select(1)", [2]),
        ("from sqlmodel import select as pick\npick(1)", [2]),
        ("from sqlalchemy import text\nx = text('SELECT 1')", [2]),
        ("session.exec(found).all()", [1]),
        ("connection.execute(found)", [1]),
        ("request.app.state.session.execute(found)", [1]),
        ("import hashlib\nhashlib.sha256().update(b'')\nchosen = dict()\nchosen.update(a=1)", []),
        ("import sqlalchemy as sa\nsa.CheckConstraint('a')\nsa.exc.ArgumentError()", []),
        ("def text(): ...\ntext()", []),
    ],
)
def test_sql_is_recognised(code: str, found: list[int]) -> None:
    assert sql_in(ast.parse(code)) == found


def test_sql_stands_in_queries_only() -> None:
    elsewhere = {
        path: lines
        for path, tree in TREES.items()
        if not path.endswith("/queries.py") and path not in MAY_RUN_SQL and (lines := sql_in(tree))
    }
    assert elsewhere == {}


def test_a_request_commits_in_one_place() -> None:
    committing = {
        path
        for path, tree in TREES.items()
        if any(name == "commit" and on is not None for _, name, on in calls(tree))
    }
    assert committing <= MAY_COMMIT


def test_no_route_and_no_dependency_is_async() -> None:
    # An async function that talks to the database stops every other request while it waits.
    waiting = {path for path, tree in TREES.items() if ast.AsyncFunctionDef in map(type, functions(tree))}
    assert waiting <= MAY_AWAIT


def test_no_file_is_longer_than_a_reader_keeps_in_mind() -> None:
    lengths = {str(file.relative_to(SERVICE)): len(file.read_text("utf-8").splitlines()) for file in FILES}
    assert {path: lines for path, lines in lengths.items() if lines > MAXIMUM_FILE_LINES} == {}


def test_no_function_is_longer_than_a_screen() -> None:
    long = {
        f"{path}:{function.lineno} {function.name}": length
        for path, tree in TREES.items()
        for function in functions(tree)
        if (length := length_without_docstring(function)) > MAXIMUM_FUNCTION_LINES
    }
    assert long == {}


def test_tables_know_their_annotations_at_once() -> None:
    # SQLModel builds columns from annotations that are types, not text.
    postponed = {
        path
        for path, tree in TREES.items()
        for node in ast.walk(tree)
        if path.endswith("/tables.py") and isinstance(node, ast.ImportFrom) and node.module == "__future__"
    }
    assert postponed == set()
