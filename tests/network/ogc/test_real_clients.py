"""Programs that people have, where they are on this machine: each reads every feature and every number.

Debian: gdal-bin, qgis with python3-qgis; PyPI: owslib. What is absent is listed as skipped.
"""

import csv
import io
import json
import shutil
import subprocess
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import pytest

from tests.api import Api, Json
from tests.network.ogc.map_network import fill, items, walk
from tests.served import HERE, served

SYSTEM_PYTHON = "/usr/bin/python3"
DATA = ("readings", "scores")


def run(*command: str) -> str:
    done = subprocess.run(command, check=False, capture_output=True, text=True, timeout=120)
    assert done.returncode == 0, done.stderr
    assert "ERROR" not in done.stderr
    return done.stdout


def has_qgis() -> bool:
    if not Path(SYSTEM_PYTHON).exists():
        return False
    tried = subprocess.run([SYSTEM_PYTHON, "-c", "import qgis.core"], check=False, capture_output=True)
    return tried.returncode == 0


needs_gdal = pytest.mark.skipif(shutil.which("ogr2ogr") is None, reason="GDAL is not on this machine")
needs_qgis = pytest.mark.skipif(not has_qgis(), reason="QGIS is not on this machine")


@pytest.fixture
def base(api: Api) -> Iterator[str]:
    fill(api)
    with served(api.client.app) as port:
        yield f"http://{HERE}:{port}/ogc"


def values(features: list[Json]) -> dict[str, float]:
    return {feature["id"]: feature["properties"]["value"] for feature in features}


@needs_gdal
@pytest.mark.parametrize("name", ["sites", *DATA])
def test_gdal_finds_points_and_counts_the_same(api: Api, base: str, name: str) -> None:
    told = run("ogrinfo", "-ro", "-so", f"OAPIF:{base}", name)
    assert "Geometry: Point" in told
    assert f"Feature Count: {len(walk(api, items(name)))}" in told


@needs_gdal
@pytest.mark.parametrize("name", DATA)
def test_gdal_turns_all_pages_and_changes_no_number(api: Api, base: str, name: str) -> None:
    table = run("ogr2ogr", "-f", "CSV", "/vsistdout/", f"OAPIF:{base}", name, "-oo", "PAGE_SIZE=5")
    read = {row["id"]: float(row["value"]) for row in csv.DictReader(io.StringIO(table))}
    assert read == values(walk(api, items(name)))


@needs_gdal
def test_gdal_asks_for_a_box_and_gets_what_has_a_place_in_it(api: Api, base: str) -> None:
    box = ("-75.7", "40.1", "-75.6", "40.2")
    table = run("ogr2ogr", "-f", "CSV", "/vsistdout/", f"OAPIF:{base}", "sites", "-spat", *box)
    # It leaves out by itself what has no place, which by the standard lies in every box.
    found = walk(api, f"{items('sites')}?bbox={','.join(box)}")
    placed = {one["id"] for one in found if one["geometry"]}
    assert {row["id"] for row in csv.DictReader(io.StringIO(table))} == placed != set()


@needs_qgis
@pytest.mark.parametrize("name", DATA)
def test_qgis_puts_the_layer_on_the_map_and_changes_no_number(api: Api, base: str, name: str) -> None:
    reader = str(Path(__file__).with_name("qgis_reader.py"))
    told = json.loads(run(SYSTEM_PYTHON, reader, base, name).splitlines()[-1])
    assert told == {"valid": True, "on_the_map": True, "values": values(walk(api, items(name)))}


@pytest.fixture
def owslib() -> ModuleType:
    return pytest.importorskip("owslib.ogcapi.features", reason="OWSLib is not on this machine")


@pytest.mark.parametrize("name", ["sites", *DATA])
def test_owslib_reads_a_page_and_a_feature_and_tells_why_not(
    base: str, owslib: ModuleType, name: str
) -> None:
    reader = owslib.Features(base)
    assert name in reader.feature_collections()
    west, south, east, north = reader.collection(name)["extent"]["spatial"]["bbox"][0]
    page = reader.collection_items(name, limit=2, bbox=[west, south, east, north], datetime_="1900-01-01/..")
    first = page["features"][0]
    assert reader.collection_item(name, first["id"])["properties"] == first["properties"]
    with pytest.raises(RuntimeError, match="limit"):
        reader.collection_items(name, limit="abc")
