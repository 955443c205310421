"""Libraries of notebooks, reading by address: every row, typed as declared.

PyPI: pandas, polars, duckdb, frictionless.
"""

from pathlib import Path
from typing import Any

import httpx
import pytest

LISTS = ("sites", "visits", "readings", "scores")


def rows(root: str, name: str) -> int:
    return int(httpx.get(f"{root}/v1/exports/{name}.csv").headers["content-rows"])


@pytest.mark.parametrize("name", LISTS)
def test_pandas_reads_csv_parquet_and_workbook(root: str, name: str) -> None:
    pandas = pytest.importorskip("pandas", reason="pandas is not on this machine")
    text = pandas.read_csv(f"{root}/v1/exports/{name}.csv", dtype={"watershed_code": "string"})
    typed = pandas.read_parquet(f"{root}/v1/exports/{name}.parquet")
    book = pandas.read_excel(f"{root}/v1/{name}.xlsx?limit=1000", dtype={"watershed_code": "string"})
    assert len(text) == len(typed) == len(book) == rows(root, name)
    for table in (text, typed, book):
        assert set(table["watershed_code"].dropna()) <= {"020700100103", "020801020304"}


@pytest.mark.parametrize("name", LISTS)
def test_polars_looks_into_the_files_by_parts(root: str, name: str) -> None:
    polars = pytest.importorskip("polars", reason="polars is not on this machine")
    text = polars.read_csv(f"{root}/v1/exports/{name}.csv", schema_overrides={"watershed_code": polars.Utf8})
    typed = polars.scan_parquet(f"{root}/v1/exports/{name}.parquet").collect()
    page = polars.scan_parquet(f"{root}/v1/{name}.parquet?limit=1000").collect()
    assert len(text) == len(typed) == len(page) == rows(root, name)
    numbers: Any = [column for column, kind in typed.schema.items() if kind == polars.Float64]
    assert "latitude" in numbers


def test_duckdb_reads_geoparquet(root: str, tmp_path: Path) -> None:
    duckdb = pytest.importorskip("duckdb", reason="DuckDB is not on this machine")
    file = tmp_path / "sites.parquet"
    file.write_bytes(httpx.get(f"{root}/v1/exports/sites.parquet").content)
    ((count,),) = duckdb.sql(f"select count(*) from '{file}'").fetchall()
    assert count == rows(root, "sites")


def test_frictionless_finds_every_list_of_the_package_valid(root: str) -> None:
    frictionless = pytest.importorskip("frictionless", reason="frictionless is not on this machine")
    with frictionless.system.use_context(trusted=True):
        report = frictionless.Package(f"{root}/v1/datapackage.json").validate()
    assert {task.name for task in report.tasks} >= set(LISTS)
    assert [error.message for task in report.tasks for error in task.errors] == []
