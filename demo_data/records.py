"""What the generator makes: places, visits, readings and catches, and how they become rows of text."""

import csv
import uuid
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime
from pathlib import Path
from typing import Any

import numpy as np

FOLDER = Path(__file__).parent


@dataclass(frozen=True)
class Site:
    """One row of sites.csv; ``number`` is its place in the file and steers its random draws."""

    number: int
    code: str
    school: str
    stream: str
    stream_km: float
    elevation_m: float | None
    water_class: str
    time_zone: str
    established_on: date


@dataclass
class Reading:
    """One reading as the class wrote it; ``None`` means "not said"."""

    parameter: str
    value: float
    censored: str | None
    unit: str
    kit: str | None
    replicate: int = 1
    seconds_in_water: int | None = None
    minutes_waited: int | None = None
    bubble_free: bool | None = None
    undisturbed_water: bool | None = None
    kit_lot: str | None = None
    tablets: int | None = None
    sample_ml: float | None = None


@dataclass(frozen=True)
class Count:
    """One line of the catch, with a whole number or, in a letter scheme, a letter."""

    taxon: str
    count: int | None
    abundance: str | None = None
    life_stage: str | None = None


@dataclass(frozen=True)
class Catch:
    """One net sample; no counts means that the class netted and found nothing."""

    gear: str
    minutes: int
    area_m2: float
    count_scheme: str
    counts: tuple[Count, ...]


@dataclass
class Visit:
    """One visit. ``made_at`` is the moment the device made its id: rows are in that order."""

    visit_id: str
    site: Site
    observed_at: datetime
    made_at: datetime
    week: int
    storm: bool
    team: str
    air_temperature_c: float
    weather: str
    rain_48h_mm: float
    flow: str
    ice: str
    notes: str
    readings: list[Reading] = field(default_factory=list)
    catch: Catch | None = None
    kind: str | None = None
    latitude: float | None = None
    longitude: float | None = None
    dead_fish: bool | None = None


def version_7(made_at: datetime, rng: np.random.Generator) -> str:
    """Return a UUID in the version 7 layout (RFC 9562): 48 bits of milliseconds, the rest drawn."""
    milliseconds = int(made_at.timestamp() * 1000)
    bits = (
        milliseconds << 80
        | 0x7 << 76
        | int(rng.integers(1 << 12)) << 64
        | 0b10 << 62
        | int(rng.integers(1 << 62))
    )
    return str(uuid.UUID(int=bits))


def read_sites() -> list[Site]:
    """Return the sites of sites.csv, which people edit by hand."""
    with (FOLDER / "sites.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    return [
        Site(
            number=number,
            code=row["code"],
            school=row["school"],
            stream=row["stream"],
            stream_km=float(row["stream_km"]),
            elevation_m=float(row["elevation_m"]) if row["elevation_m"] else None,
            water_class=row["water_class"],
            time_zone=row["time_zone"],
            established_on=date.fromisoformat(row["established_on"]),
        )
        for number, row in enumerate(rows)
    ]


def visit_row(visit: Visit) -> list[Any]:
    """Return the row of visits.csv."""
    catch = visit.catch
    net = [catch.gear, catch.minutes, catch.area_m2, catch.count_scheme] if catch else [None] * 4
    return [
        visit.visit_id,
        visit.site.code,
        visit.observed_at.isoformat(),
        visit.team,
        visit.air_temperature_c,
        visit.weather,
        visit.rain_48h_mm,
        visit.flow,
        visit.ice,
        visit.notes,
        *net,
        visit.kind,
        _degrees(visit.latitude),
        _degrees(visit.longitude),
        visit.dead_fish,
    ]


def reading_row(visit: Visit, reading: Reading) -> list[Any]:
    """Return the row of readings.csv."""
    return [
        visit.visit_id,
        reading.parameter,
        reading.value,
        reading.censored,
        reading.unit,
        reading.kit,
        reading.replicate,
        reading.seconds_in_water,
        reading.minutes_waited,
        reading.bubble_free,
        reading.undisturbed_water,
        reading.kit_lot,
        reading.tablets,
        reading.sample_ml,
    ]


def write_table(name: str, columns: str, rows: Iterable[Sequence[Any]]) -> int:
    """Write one CSV file with LF line ends and return its number of rows."""
    lines = [[_text(cell) for cell in row] for row in rows]
    with (FOLDER / name).open("w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file, lineterminator="\n")
        writer.writerow(columns.split(","))
        writer.writerows(lines)
    return len(lines)


def _degrees(degrees: float | None) -> str | None:
    return None if degrees is None else f"{degrees:.5f}"


def _text(cell: Any) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return "true" if cell else "false"
    return f"{round(cell, 4):g}" if isinstance(cell, float) else str(cell)
