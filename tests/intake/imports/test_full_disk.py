"""A disk that is full while a file is taken in: nothing half stored, a clear word, and later it goes on."""

import json
import tempfile
from pathlib import Path
from typing import Any

import pytest

from service.intake.imports.shelf import queries
from tests.api import Api
from tests.intake.imports.files import MAPPING, fates, line, sheet

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
ROWS = sheet(*(line(day, Remarks="muddy " * 300) for day in range(1, 20)))
FORM = [("file", ("march.csv", ROWS, "text/csv")), ("mapping", (None, json.dumps(MAPPING)))]
FULL = "/dev/full"  # Linux, full(4): writing to it fails as on a full disk (ENOSPC)


def send(api: Api) -> Any:
    return api.call("POST", "/v1/imports", "heron", files=FORM)


def is_told(answer: Any) -> bool:
    assert (answer.status_code, answer.headers["retry-after"]) == (507, "600"), answer.text
    assert answer.headers["content-type"] == "application/problem+json"
    return "no room" in answer.json()["detail"] and "muddy" not in answer.text


@pytest.mark.parametrize("kind", ["upload", "part", "report"])
def test_without_room_for_its_temporary_files_an_import_says_so(
    api: Api, kind: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made = tempfile.NamedTemporaryFile

    def made_there(prefix: str, buffering: int = -1) -> Any:
        there = prefix == f"wadebook-{kind}-"
        return Path(FULL).open("wb", buffering) if there else made(prefix=prefix, buffering=buffering)

    with monkeypatch.context() as patch:
        patch.setattr(tempfile, "tempdir", str(tmp_path))
        patch.setattr(tempfile, "NamedTemporaryFile", made_there)
        assert is_told(send(api))
    assert list(tmp_path.iterdir()) == []
    stored = api.every("/v1/visits", "heron")
    assert bool(stored) == (kind == "report")  # all are stored, and only the report has no room
    assert set(fates(send(api).json())) == {"known" if stored else "stored"}


def test_without_room_for_its_shelf_an_import_stores_nothing(
    api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    with monkeypatch.context() as patch:
        patch.setattr(queries, "TABLES", f"{queries.TABLES} PRAGMA max_page_count = 6;")
        assert is_told(send(api))
    assert api.every("/v1/visits", "heron") == []
    assert set(fates(send(api).json())) == {"stored"}
