"""`wadebook import-sites`: the same list, the same mapping and the same report as by HTTP."""

import csv
import json
from collections.abc import Callable
from pathlib import Path

import pytest

from service.cli import main
from tests.api import Api
from tests.intake.site_lists.lists import MAPPING, line, post, sheet

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
AS_TOML = """
school = {value = "heron"}
code = {column = "Code"}
name = {column = "Name"}
time_zone = {value = "America/Denver"}

[place.latitude]
degrees = "Lat"

[place.longitude]
degrees = "Lon"
"""
Run = Callable[..., int]


@pytest.fixture
def run(api: Api, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Run:
    """Run the command on rows that lie in a file; a school, where the mapping names none."""
    address = api.engine.url.render_as_string(hide_password=False)
    monkeypatch.setenv("WADEBOOK_DATABASE_URL", address)
    file = tmp_path / "sites.csv"
    mapping = tmp_path / "sites.json"
    mapping.write_text(json.dumps(MAPPING))

    def run(*options: object, rows: bytes = sheet(line(), line("oak-1")), by: Path = mapping) -> int:
        file.write_bytes(rows)
        return main(["import-sites", *map(str, (file, "--mapping", by, *options))])

    return run


def test_a_list_goes_in_once_and_the_report_is_that_of_the_address(
    api: Api, run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    rows = sheet(line(), line("oak-1"), line("ash-1", Lat=95))
    dry = run("--school", "heron", "--dry-run", "--report", tmp_path / "dry.json", rows=rows)
    assert dry == 1
    by_http = post(api, rows, school="heron", dry_run="true").json()
    assert json.loads((tmp_path / "dry.json").read_text()) == by_http
    assert api.get("/v1/sites/oak-1").status_code == 404
    said = capsys.readouterr()
    assert by_http["text"] in said.out
    assert said.err.startswith("row 4: Lat (column C): 95: ")
    assert [run("--school", "heron") for _ in range(2)] == [0, 0]
    said = capsys.readouterr()
    assert "2 stored" in said.out
    assert "2 known before, exactly so" in said.out
    assert api.get("/v1/sites/oak-1").json()["elevation_m"] == 304.8


def test_a_site_is_changed_only_where_that_is_asked(api: Api, run: Run) -> None:
    run("--school", "heron")
    other = sheet(line(Name="Elm Mill"))
    names = []
    for options in ((), ("--revise",)):
        assert run("--school", "heron", *options, rows=other) == 0
        names.append(api.get("/v1/sites/elm-01").json()["name"])
    assert names == ["Elm Elm-01", "Elm Mill"]


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
def test_the_report_is_written_as_the_list_with_its_fates(run: Run, tmp_path: Path, ending: str) -> None:
    report = tmp_path / f"report.{ending}"
    assert run("--school", "heron", "--report", report) == 0
    assert report.stat().st_size > 0
    if ending == "csv":
        head, *rows = csv.reader(report.read_text("utf-8-sig").splitlines())
        assert [row[head.index("fate")] for row in rows] == ["stored", "stored"]


def test_a_mapping_may_be_toml_and_name_the_school(api: Api, run: Run, tmp_path: Path) -> None:
    mapping = tmp_path / "sites.toml"
    mapping.write_text(AS_TOML)
    assert run(by=mapping) == 0
    assert api.get("/v1/sites/elm-01").json()["school"] == "heron"


def test_what_is_not_there_is_named(run: Run, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    wrong = [
        (("--school", "heron", "--report", "report.pdf"), {}, "give it that ending"),
        ((), {}, "name the school here or in the mapping"),
        (("--school", "heron"), {"by": tmp_path / "none.toml"}, "There is no file"),
        (("--school", "heron"), {"rows": b""}, "empty"),
    ]
    for options, more, told in wrong:
        assert run(*options, **more) == 1
        assert told in capsys.readouterr().err
