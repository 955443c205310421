"""Our template as a teacher fills it, and what it then means when it comes back."""

import io
from collections.abc import Mapping as Dictionary
from datetime import date, time
from pathlib import Path
from typing import Any

import openpyxl

from service.intake.mapping.assemble import assemble
from service.intake.mapping.part import Part, VisitKey
from service.intake.mapping.read_row import ReadRow
from service.intake.mapping.read_rows import named_columns, read_rows
from service.intake.sheets.read_file import read_file
from service.intake.template.columns import Choice
from service.intake.template.own_mapping import template_mappings
from service.intake.template.workbook import Look, template_workbook
from service.reference.load import load_catalogue

CATALOGUE = load_catalogue()
KITS = (
    "thermometer-alcohol", "oxygen-tablet-comparator", "ph-comparator-wide", "transparency-tube-60",
    "nitrate-strip", "ph-tablet-comparator",
)  # fmt: skip
SITES = (("007", "Mill Creek at the bridge"), ("mill-creek-2", "Mill Creek below the weir"))
PLACES = {code: (name, "America/New_York") for code, name in SITES}
THERMOMETER = "water temperature [degC] thermometer-alcohol"
OXYGEN = "dissolved oxygen [mg/L] oxygen-tablet-comparator"
ACIDITY = "pH [std units] ph-comparator-wide"
TUBE = "transparency in the tube [cm] transparency-tube-60"
NITRATE = "nitrate [mg/L as NO3] nitrate-strip"
TABLET = "pH [std units] ph-tablet-comparator"
WHEN = {"date": date(2026, 4, 9), "time": time(9, 40), "team": "period-2"}
Row = Dictionary[str, Any]


def choice(**more: Any) -> Choice:
    return Choice(**({"sites": SITES, "kits": [CATALOGUE.kits[code] for code in KITS]} | more))


def workbook(**more: Any) -> bytes:
    return template_workbook(choice(**more), Look("Stream network: visits"), CATALOGUE)


VISITS: tuple[Row, ...] = (
    {"site": "007", **WHEN, "weather": "overcast", "rain of the last 48 hours [mm]": 0, "flow": "low",
     "air temperature [degC]": 11.5, "undisturbed water": "yes",
     "dead or gasping fish": "no", THERMOMETER: 6.5,
     "seconds in the water: thermometer-alcohol": 60, OXYGEN: "<4",
     "no bubble: oxygen-tablet-comparator": "no", "tablets put in: oxygen-tablet-comparator": 2,
     ACIDITY: 7.5, TUBE: "> 60", NITRATE: 5, "box of the kit: nitrate-strip": "0147",
     "notes": "=the ford, 7/8 dry"},
    {"site": "mill-creek-2", **WHEN, "time": time(13, 5), "kind of visit": "field-replicate", TUBE: 48,
     "dead or gasping fish": "Yes", TABLET: 7, "tablets put in: ph-tablet-comparator": 1,
     "water in the test [mL]: ph-tablet-comparator": 7.5, "box of the kit: ph-tablet-comparator": "Red-b"},
)  # fmt: skip
CATCH: tuple[Row, ...] = (
    {"site": "007", **WHEN, "animal": "mayfly", "count": 14, "life stage": "nymph", "gear": "kick-seine",
     "collecting [min]": 10, "part sorted [0 to 1]": 0.5},
    {"site": "007", **WHEN, "animal": "Hydropsychidae", "count": 3},
)  # fmt: skip


def fill(
    content: bytes, path: Path, visits: tuple[Row, ...] = VISITS, catch: tuple[Row, ...] = CATCH
) -> Path:
    """Write rows below the example of each sheet, as a spreadsheet program does."""
    book = openpyxl.load_workbook(io.BytesIO(content))
    for name, rows in (("visits", visits), ("catch", catch)):
        sheet = book[name]
        places = {cell.value: cell.column for cell in sheet[1]}
        for number, row in enumerate(rows, start=3):
            for head, value in row.items():
                cell = sheet.cell(number, places[head], value)
                if isinstance(value, str):
                    cell.data_type = "s"
    book.save(path)
    return path


def rows_of(path: Path) -> list[ReadRow]:
    found: list[ReadRow] = []
    for mapping in template_mappings(path):
        with read_file(path, mapping.file, named_columns(mapping)) as grid:
            found += read_rows(mapping, grid, PLACES)
    return found


def bodies(path: Path) -> list[dict[str, Any]]:
    """Return the visits that a file comes to; no row may be refused."""
    rows = rows_of(path)
    assert [row.problems for row in rows if row.problems] == []
    visits: dict[VisitKey, list[Part]] = {}
    for row in rows:
        if row.key is not None and row.part is not None:
            visits.setdefault(row.key, []).append(row.part)
    made = [assemble(key, visits[key]) for key in sorted(visits)]
    assert [one.problems for one in made if one.problems] == []
    return [one.body for one in made]


def reading(parameter: str, value: float, unit: str, kit: str, **more: Any) -> dict[str, Any]:
    return {"parameter": parameter, "value": value, "unit": unit, "kit": kit} | more


# What the rows above were meant as, written down by hand as bodies of POST /v1/visits.
MEANT = [
    {
        "site": "007",
        "observed_at": "2026-04-09T09:40:00-04:00",
        "team": "period-2",
        "readings": [
            reading("water_temperature", 6.5, "degC", "thermometer-alcohol",
                    procedure={"undisturbed_water": True, "seconds_in_water": 60.0}),
            reading("dissolved_oxygen", 4.0, "mg/L", "oxygen-tablet-comparator", censored="<",
                    procedure={"undisturbed_water": True, "bubble_free": False, "tablets": 2}),
            reading("ph", 7.5, "std units", "ph-comparator-wide", procedure={"undisturbed_water": True}),
            reading("transparency", 60.0, "cm", "transparency-tube-60", censored=">",
                    procedure={"undisturbed_water": True}),
            reading("nitrate", 5.0, "mg/L as NO3", "nitrate-strip", kit_lot="0147",
                    procedure={"undisturbed_water": True}),
        ],
        "catch": {
            "count_scheme": "counts", "gear": "kick-seine", "minutes": 10.0, "sorted_share": 0.5,
            "counts": [{"taxon": "mayfly", "count": 14, "life_stage": "nymph"},
                       {"taxon": "Hydropsychidae", "count": 3}],
        },
        "conditions": {"air_temperature_c": 11.5, "rain_48h_mm": 0.0, "weather": "overcast", "flow": "low",
                       "dead_fish": False},
        "notes": "notes: =the ford, 7/8 dry",
    },
    {
        "site": "mill-creek-2",
        "observed_at": "2026-04-09T13:05:00-04:00",
        "team": "period-2",
        "kind": "field-replicate",
        "readings": [
            reading("ph", 7.0, "std units", "ph-tablet-comparator", kit_lot="red-b",
                    procedure={"tablets": 1, "sample_ml": 7.5}),
            reading("transparency", 48.0, "cm", "transparency-tube-60"),
        ],
        "conditions": {"dead_fish": True},
    },
]  # fmt: skip
