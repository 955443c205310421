"""`wadebook import`: in this process, with a report, and going on where it was stopped."""

import json
from pathlib import Path

import pytest
from sqlmodel import Session

from service.cli import main
from service.core.errors import WadebookError
from service.core.settings import Settings
from service.intake.imports import take_in as module
from service.intake.imports.from_disk import NETWORK, import_from_disk
from service.intake.imports.judge import ImportOrder
from service.intake.imports.lines import Lines
from service.intake.imports.shelf.queries import open_shelf
from service.intake.imports.take_in import take_in
from tests.api import Api, Json, visit
from tests.intake.imports.files import MAPPING, keep, line, sheet

on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


class Stopped(BaseException):
    """As a process is stopped: nothing catches it."""


def four_days(folder: Path) -> Path:
    file = folder / "march.ndjson"
    days = (visit(observed_at=f"2026-03-{day}T10:15:00-05:00") for day in (11, 12, 13, 14))
    file.write_text("\n".join(map(json.dumps, days)))
    return file


@pytest.fixture
def settings(api: Api) -> Settings:
    return Settings(database_url=api.engine.url.render_as_string(hide_password=False))


def test_stopped_between_two_batches_it_goes_on_when_it_is_run_again(
    api: Api, settings: Settings, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(module, "BATCH", 1)
    file, order = four_days(tmp_path), ImportOrder("heron")

    def stop(told: str) -> None:
        if told == "2 of 4 visits":
            raise Stopped

    whole = Session(api.engine, expire_on_commit=False)
    with pytest.raises(Stopped), whole as session, open_shelf() as shelf:
        take_in(session, settings, NETWORK, order, Lines(file), shelf, stop)
    assert len(api.every("/v1/visits", "heron")) == 2
    done = import_from_disk(api.engine, settings, order, file)
    assert done.told.totals == {"known": 2, "stored": 2}


@pytest.fixture
def run(settings: Settings, monkeypatch: pytest.MonkeyPatch):
    monkeypatch.setenv("WADEBOOK_DATABASE_URL", settings.database_url)
    return lambda *arguments: main(["import", *map(str, arguments)])


@on_sqlite
@pytest.mark.parametrize("mapping", ["kept", "json", "toml"])
def test_a_sheet_goes_in_by_a_mapping_that_is_kept_or_lies_beside_it(
    api: Api, run, tmp_path: Path, mapping: str, capsys: pytest.CaptureFixture[str]
) -> None:
    named: Path | str = tmp_path / f"mapping.{mapping}"
    if mapping == "kept":
        named = keep(api)
    else:
        Path(named).write_text(json.dumps(MAPPING) if mapping == "json" else AS_TOML)
    file = tmp_path / "march.csv"
    file.write_bytes(sheet(line(), line(13, "reed-99")))
    assert run(file, "--school", "heron", "--mapping", named) == 1
    said = capsys.readouterr()
    assert "1 stored" in said.out
    assert said.err == "row 3: Site (column A): reed-99: " + said.err.split("reed-99: ")[1]
    file.write_bytes(sheet(line(), line(13)))
    assert run(file, "--school", "heron", "--mapping", named) == 0


AS_TOML = """
site = {column = "Site"}
when = {date = "Date", order = "ymd", time = "Time", zone = "site"}
team = {column = "Team"}
notes = [{column = "Remarks", word = "class"}]

[[readings]]
column = "Water"
parameter = "water_temperature"
unit = "degC"
kit = "thermometer-alcohol"

[[readings]]
column = "pH"
parameter = "ph"
kit = "ph-tablet-comparator"
"""


@on_sqlite
def test_a_dry_run_writes_a_report_and_stores_nothing(api: Api, run, tmp_path: Path) -> None:
    file = four_days(tmp_path)
    for ending in ("json", "csv", "xlsx"):
        assert run(file, "--school", "heron", "--dry-run", "--report", tmp_path / f"report.{ending}") == 0
    report: Json = json.loads((tmp_path / "report.json").read_text())
    assert (report["file"], report["dry_run"]) == ("march.ndjson", True)
    assert report["totals"]["would_store"] == 4
    assert (tmp_path / "report.csv").read_text("utf-8").count("would_store") == 4
    assert (tmp_path / "report.xlsx").stat().st_size > 0
    assert api.every("/v1/visits", "heron") == []


@on_sqlite
def test_what_is_not_there_is_named(api: Api, settings: Settings, tmp_path: Path) -> None:
    file = four_days(tmp_path)
    wrong = [
        (ImportOrder("heron"), tmp_path / "none.csv", None, None, "no file"),
        (ImportOrder("nobody"), file, None, None, "no school nobody"),
        (ImportOrder("heron"), file, "no-such", None, "no such mapping"),
        (ImportOrder("heron"), file, None, tmp_path / "report.pdf", "give it that ending"),
    ]
    for order, sent, mapping, report, told in wrong:
        with pytest.raises(WadebookError, match=told):
            import_from_disk(api.engine, settings, order, sent, mapping, report)
