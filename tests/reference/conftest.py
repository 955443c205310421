"""The folder that tests of the loader may spoil."""

import shutil
from importlib.resources import as_file, files
from pathlib import Path

import pytest


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    with as_file(files("service.reference").joinpath("data")) as data:
        shutil.copytree(data, tmp_path / "data")
    return tmp_path / "data"
