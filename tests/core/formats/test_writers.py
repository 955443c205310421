"""What each format holds of the same rows, read back by readers that are not ours."""

import csv
import io
import json
import struct
from collections.abc import Callable
from datetime import date, datetime
from typing import Any

import openpyxl
import pyarrow as pa
import pyarrow.parquet as pq
import pytest

from service.core.formats.csv_text import csv_chunks
from service.core.formats.geojson_text import geojson_chunks
from service.core.formats.ndjson_text import closed_ndjson_chunks, ndjson_chunks
from service.core.formats.parquet_file import parquet_chunks
from service.core.formats.table import Column, Kind, Table
from service.core.formats.terms import Terms
from service.core.formats.xlsx_book import xlsx_chunks

TERMS = Terms("https://example.org/licence", "Reed Network")
TABLE = Table(
    name="places",
    title="Places",
    text="One row a place.",
    columns=(
        Column("code", Kind.TEXT, "Code of the place."),
        Column("note", Kind.TEXT, "What was said.", may_be_empty=True),
        Column("latitude", Kind.NUMBER, "Degrees north.", "deg", True),
        Column("longitude", Kind.NUMBER, "Degrees east.", "deg", True),
        Column("depth", Kind.NUMBER, "How deep.", "m", True),
        Column("visits", Kind.WHOLE, "How often."),
        Column("since", Kind.DATE, "From which day.", may_be_empty=True),
    ),
    key=("code", "visits"),
    row_is_a_place=True,
)


def row(code: str = "007", **more: Any) -> dict[str, Any]:
    usual = {"note": None, "latitude": 40.5, "longitude": -75.25, "depth": 7.0, "visits": 3}
    return {"code": code} | usual | {"since": date(2026, 3, 12)} | more


NOWHERE = row("070101020301", latitude=None, longitude=None, depth=-1.5, since=None, note="Ähre, „so“\nja")
BATCHES = [[row()], [], [NOWHERE]]


def written(writer: Callable[..., Any], batches: Any = BATCHES, table: Table = TABLE) -> bytes:
    return b"".join(writer(table, batches, TERMS))


def sheet_of(content: bytes, name: str) -> Any:
    return openpyxl.load_workbook(io.BytesIO(content))[name]


def test_csv_has_the_declared_header_and_every_value() -> None:
    text = written(csv_chunks).decode()
    assert text.startswith(
        "code,note,latitude,longitude,depth,visits,since\r\n007,,40.5,-75.25,7.0,3,2026-03-12"
    )
    first, second = csv.DictReader(io.StringIO(text, newline=""))
    assert second["note"] == NOWHERE["note"]
    assert (second["code"], second["depth"], second["since"]) == ("070101020301", "-1.5", "")
    assert float(first["depth"]) == 7


# What spreadsheets take for a formula: OWASP, "CSV Injection" (from memory).
@pytest.mark.parametrize("begin", ["=", "+", "-", "@", "\t", "\r"])
def test_csv_text_is_never_a_formula_and_a_negative_number_stays_one(begin: str) -> None:
    text = written(csv_chunks, [[row(note=f"{begin}1+1", depth=-3.5)]]).decode()
    (read,) = csv.DictReader(io.StringIO(text, newline=""))
    assert read["note"] == f"'{begin}1+1"
    assert read["depth"] == "-3.5"


def test_csv_of_nothing_still_has_its_header() -> None:
    assert written(csv_chunks, []) == b"code,note,latitude,longitude,depth,visits,since\r\n"


def test_ndjson_has_every_key_in_every_line_and_floats() -> None:
    lines = written(ndjson_chunks).decode().splitlines()
    assert [list(json.loads(line)) for line in lines] == [list(TABLE.names)] * 2
    assert '"depth":7.0,' in lines[0]
    assert json.loads(lines[1])["note"] == NOWHERE["note"]


@pytest.mark.parametrize(("batches", "rows"), [(BATCHES, 2), ([], 0)])
def test_a_whole_ndjson_says_at_its_end_that_it_is_whole(batches: Any, rows: int) -> None:
    *before, last = written(closed_ndjson_chunks, batches).decode().splitlines()
    assert len(before) == rows
    assert json.loads(last) == {
        "complete": True, "rows": rows, "licence": TERMS.licence, "attribution": "Reed Network",
    }  # fmt: skip


def test_geojson_has_longitude_first_and_null_where_no_place_is_known() -> None:
    # RFC 7946, section 3.1.1: longitude, then latitude; section 3.2: geometry is null where unlocated.
    read = json.loads(written(geojson_chunks))
    assert (read["type"], read["licence"], read["attribution"]) == (
        "FeatureCollection", TERMS.licence, TERMS.attribution,
    )  # fmt: skip
    first, second = read["features"]
    assert first["geometry"] == {"type": "Point", "coordinates": [-75.25, 40.5]}
    assert (first["id"], second["id"]) == ("007:3", "070101020301:3")
    assert second["geometry"] is None
    assert list(second["properties"]) == list(TABLE.names)
    assert json.loads(written(geojson_chunks, []))["features"] == []


def test_a_workbook_has_text_numbers_and_real_dates() -> None:
    sheet = sheet_of(written(xlsx_chunks, [[row(note="=1+1")], [NOWHERE]]), "places")
    header, first, second = sheet.iter_rows()
    assert tuple(cell.value for cell in header) == TABLE.names
    assert [cell.value for cell in first] == [
        "007", "=1+1", 40.5, -75.25, 7, 3, datetime(2026, 3, 12),
    ]  # fmt: skip
    assert [cell.data_type for cell in first] == ["s", "s", "n", "n", "n", "n", "d"]
    assert [cell.value for cell in second][:2] == ["070101020301", NOWHERE["note"]]
    assert second[2].value is None


def test_a_workbook_says_what_its_columns_are_and_on_which_terms() -> None:
    lines = list(sheet_of(written(xlsx_chunks), "dictionary").iter_rows(values_only=True))
    assert lines[0] == ("column", "unit", "kind", "description")
    assert ("depth", "m", "number", "How deep.") in lines
    assert [line[0] for line in lines[1:8]] == list(TABLE.names)
    assert {line[0]: line[3] for line in lines[-2:]} == {
        "licence": TERMS.licence, "attribution": TERMS.attribution,
    }  # fmt: skip


def test_parquet_is_typed_and_says_what_its_columns_are() -> None:
    read = pq.read_table(io.BytesIO(written(parquet_chunks)))
    assert [read.schema.field(name).type for name in ("code", "depth", "visits", "since")] == [
        pa.string(), pa.float64(), pa.int32(), pa.date32(),
    ]  # fmt: skip
    assert read.column("code").to_pylist() == ["007", "070101020301"]
    assert read.column("since").to_pylist() == [date(2026, 3, 12), None]
    assert read.schema.field("depth").metadata[b"unit"] == b"m"
    assert read.schema.metadata[b"licence"] == TERMS.licence.encode()
    assert read.schema.metadata[b"attribution"] == b"Reed Network"


def test_places_are_geoparquet() -> None:
    # GeoParquet 1.1.0: metadata key geo; WKB of a point: byte order, type 1, x, y (OGC 06-103r4).
    read = pq.read_table(io.BytesIO(written(parquet_chunks)))
    geo = json.loads(read.schema.metadata[b"geo"])
    assert (geo["version"], geo["primary_column"]) == ("1.1.0", "geometry")
    assert geo["columns"]["geometry"] == {"encoding": "WKB", "geometry_types": ["Point"]}
    point, nowhere = read.column("geometry").to_pylist()
    assert struct.unpack("<BIdd", point) == (1, 1, -75.25, 40.5)
    assert nowhere is None


def test_parquet_goes_out_in_pieces_and_is_whole() -> None:
    batches = [[row(f"p{number}-{part}") for number in range(20_000)] for part in range(6)]
    pieces = list(parquet_chunks(TABLE, iter(batches), TERMS))
    assert len([piece for piece in pieces if len(piece) > 10_000]) >= 2
    file = pq.ParquetFile(io.BytesIO(b"".join(pieces)))
    assert (file.metadata.num_rows, file.metadata.num_row_groups) == (120_000, 6)
    with pytest.raises(pa.ArrowInvalid):
        pq.ParquetFile(io.BytesIO(b"".join(pieces)[:-100]))


@pytest.mark.parametrize("writer", [csv_chunks, ndjson_chunks, geojson_chunks, xlsx_chunks, parquet_chunks])
def test_equal_rows_make_equal_bytes(writer: Callable[..., Any]) -> None:
    assert written(writer) == written(writer)
