"""A real file of volunteers who watched one river and its brooks for eleven summers, many sites a morning.

Rows of one site and moment are one visit: the bottle for the bacteria, and the probe at several depths, which
become replicates. How deep the probe hung is no depth of the stream and goes into the notes. Duplicates are
visits of their own, as the network keeps them. A row without a time keeps its date alone, which the service
must refuse. No make of a probe and no elevation is in the file, so none is sent.
"""

import uuid
from collections.abc import Sequence
from datetime import datetime
from zoneinfo import ZoneInfo

from tests.api import Json
from tests.real_input.class_files import ABSENT, Row

READINGS_FILE = "volunteer-ecoli-do-2009-2019.csv"
SITES_FILE = "volunteer-sites.csv"
ZONE = "America/New_York"  # the file names none; its coordinates lie in the north-east of the United States
TRAY, CEILING = "e-coli-tray", 2419.6
MEASURED = {
    "Temp": ("water_temperature", "degC"),
    "DO": ("dissolved_oxygen", "mg/L"),
    "PctSat": ("dissolved_oxygen_saturation", "%"),
    "Ecoli": ("e_coli", "MPN/100 mL"),
}
NAMESPACE = uuid.UUID("c2a3d7a8-1d0d-4a64-8f0c-6c3a5f9c0e77")
# A most probable number has no even steps: the second decimal is as fine as the file writes it.


def visit_key(row: Row) -> str:
    """Return what rows of one visit share; a row without a time stands for itself."""
    moment = row["Time"] if row["Time"] != ABSENT else f"row {row['']}"
    return f"{row['Site']} {row['Date']} {moment} {'duplicate' if row['QC'] == 'D' else 'routine'}"


def site_of(row: Row) -> Json:
    """Return a site of the list. Places at 0, 0 are unknown; its texts stand in the wrong rows."""
    code = row["Site_Name"].lower()
    body: Json = {
        "code": code,
        "name": f"Site {code.upper()}",
        "school": "volunteers",
        "watershed": {"scheme": "huc", "code": "0199999901"},
    }
    place = {"latitude": float(row["lat"]), "longitude": float(row["long"])}
    return body | (place if any(place.values()) else {})


def visit_of(rows: Sequence[Row]) -> Json:
    """Return the visit of the rows of one site and moment."""
    first = rows[0]
    return {
        "visit_id": str(uuid.uuid5(NAMESPACE, visit_key(first))),
        "site": first["Site"].lower(),
        "observed_at": _observed_at(first),
        "kind": "field-replicate" if first["QC"] == "D" else "routine",
        "readings": [
            reading for number, row in enumerate(rows, start=1) for reading in _readings(number, row)
        ],
        "notes": "; ".join(f"row {row['']}: probe at {row['Depth']} m" for row in rows),
    }


def _observed_at(row: Row) -> str:
    if row["Time"] == ABSENT:
        return row["Date"]
    local = datetime.fromisoformat(f"{row['Date']} {row['Time']}").replace(tzinfo=ZoneInfo(ZONE))
    return local.isoformat()


def _readings(replicate: int, row: Row) -> list[Json]:
    return [
        {
            "parameter": parameter,
            "value": None if row[column] == ABSENT else float(row[column]),
            "unit": unit,
            "replicate": replicate,
        }
        | ({"kit": TRAY, "censored": ">" if row["Flag"] == "TRUE" else None} if column == "Ecoli" else {})
        for column, (parameter, unit) in MEASURED.items()
    ]
