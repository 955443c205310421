"""From the rows of the class to visits that can be handed in: one sample is one visit, nothing is made up.

What the files do not say is not sent: no kit (make and step of the probes are unknown), no gear (only that a
kick net was used is said), no elevation.
"""

import uuid
from collections import Counter
from collections.abc import Sequence

from tests.api import Json
from tests.real_input.class_files import ABSENT, Row

SITES = {"Upstream": "above-pond", "Downstream": "below-pond"}
# Units as the variable list of the data set states them; it does not say whether conductance is at 25 degC.
MEASURED = {
    "depth": ("water_depth", "cm"),
    "pH": ("ph", "std units"),
    "wTemp": ("water_temperature", "degC"),
    "DO": ("dissolved_oxygen", "mg/L"),
    "flow": ("current_velocity", "m/s"),
    "turb": ("turbidity", "NTU"),
    "cond": ("specific_conductance", "uS/cm"),
    "nitrate": ("nitrate", "mg/L as NO3"),
    "alkalinity": ("alkalinity", "mg/L as CaCO3"),
}
NOT_A_PARAMETER = "light"  # photosynthetic photon flux, which this network does not gather
NAMESPACE = uuid.UUID("6f9a3f0e-52a5-4c55-9d1c-6c4f6f1f7a10")


def visit_id(sample: str) -> str:
    return str(uuid.uuid5(NAMESPACE, sample))


def visit_of(readings: Sequence[Row], counts: Sequence[Row]) -> Json:
    """Return the visit of one sample: its quadrats as replicates, its tally as the catch."""
    first = readings[0]
    body: Json = {
        "visit_id": visit_id(first["sampleID"]),
        "site": SITES[first["location"]],
        "observed_at": first_stated_time(readings),
        "team": first["microhabitat"].lower(),
        "readings": [reading for row in readings for reading in _readings(row)],
        "notes": _notes(readings),
    }
    return body | ({"catch": _catch(counts)} if counts else {})


def first_stated_time(readings: Sequence[Row]) -> str:
    """Return the earliest time written for any quadrat; one without a time belongs to the same visit."""
    return min(row["dateTime.UTC"] for row in readings if row["dateTime.UTC"] != ABSENT)


def tally_key(row: Row) -> tuple[str, str]:
    return row["scientificName"], row["stage"]


def added_up(counts: Sequence[Row]) -> Counter[tuple[str, str]]:
    """Return animals by name and stage: rows that repeat both are several finds of one taxon."""
    totals: Counter[tuple[str, str]] = Counter()
    for row in counts:
        totals[tally_key(row)] += int(row["number"])
    return totals


def _readings(row: Row) -> list[Json]:
    return [
        {
            "parameter": parameter,
            "value": None if row[column] == ABSENT else float(row[column]),
            "unit": unit,
            "replicate": int(row["quadrat"]),
        }
        for column, (parameter, unit) in MEASURED.items()
    ]


def _notes(readings: Sequence[Row]) -> str:
    times = [
        f"quadrat {row['quadrat']} "
        + ("no time written" if row["startTime"] == ABSENT else row["startTime"][:5])
        for row in readings
    ]
    return f"sample {readings[0]['sampleID']}; {', '.join(times)}"


def _catch(counts: Sequence[Row]) -> Json:
    lines = [
        {"taxon": name, "count": number} | ({} if stage == ABSENT else {"life_stage": stage})
        for (name, stage), number in added_up(counts).items()
    ]
    return {"area_m2": float(counts[0]["benthicArea"]), "count_scheme": "counts", "counts": lines}
