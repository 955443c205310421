"""Three public files of real streams, where they lie beside the repository: few good readings may be suspect.

Their elevations are not known; all are put at sea level, which is hardest on cold mountain streams.
"""

import csv
from datetime import date, datetime
from pathlib import Path

import pytest

from service.science.flags import Flag
from service.science.qa.checks import gross_range, season_default
from tests.science.kits import read
from tests.science.qa.limits import limits_for
from tests.science.qa.test_season_default import at

FOLDER = Path(__file__).resolve().parents[4] / "shared" / "open-data"
SAME_PLACE_DEGREES = 0.2
CLASS_LATITUDE, VOLUNTEERS_LATITUDE = 42.3, 43.7


def rows_of(name):
    path = FOLDER / name
    if not path.is_file():
        pytest.skip(f"the open data file {name} is not beside the repository")
    with path.open(encoding="latin-1", newline="") as file:
        return list(csv.DictReader(file))


def number(text):
    try:
        return float(text)
    except ValueError:
        return None


def crews():
    latitudes = {}
    for row in rows_of("wsa-site-verification.csv"):
        both = [number(row[column]) for column in ("MLAT_DD", "XLAT_DD")]
        known = [latitude for latitude in both if latitude is not None]
        if known and max(known) - min(known) <= SAME_PLACE_DEGREES:
            latitudes[row["SITE_ID"]] = known[0]
    for row in rows_of("wsa-field-chemistry-latin1.csv"):
        if row["SITE_ID"] in latitudes:
            on = datetime.strptime(row["DATE_COL"], "%m/%d/%Y").date()
            yield latitudes[row["SITE_ID"]], on, number(row["STRMTEMP"])


def college_class():
    for row in rows_of("class-meter-readings.csv"):
        yield CLASS_LATITUDE, date.fromisoformat(row["date"]), number(row["wTemp"])


def volunteers():
    for row in rows_of("volunteer-ecoli-do-2009-2019.csv"):
        yield VOLUNTEERS_LATITUDE, date.fromisoformat(row["Date"]), number(row["Temp"])


def flags(places):
    """Return the flags of the readings that pass the range check (a hot spring of 45.5 does not)."""
    span = limits_for("gross-range", "water_temperature")
    limits = limits_for("season-default", "water_temperature")
    found = []
    for latitude, on, temperature_c in places:
        if temperature_c is None:
            continue
        reading = read("water_temperature", temperature_c)
        visit = at(latitude, on.isoformat(), reading)
        if gross_range.run(reading, visit, span).flag is Flag.PASS:
            found.append(season_default.run(reading, visit, limits).flag)
    return found


@pytest.mark.parametrize(
    ("places", "readings"),
    [
        pytest.param(crews, 1334, id="crews"),
        pytest.param(college_class, 525, id="college class"),
        pytest.param(volunteers, 1553, id="volunteers"),
    ],
)
def test_good_readings_are_left_alone(places, readings):
    found = flags(places())
    assert len(found) == readings
    assert found.count(Flag.SUSPECT) / len(found) < 0.003


def test_degrees_fahrenheit_that_pass_the_range_are_seen_in_a_cold_month():
    # 35 degF (1.7 degC) written as degC in water of January; common practice: such a stream is cold
    assert flags([(43.7, date(2026, 1, 20), 35.0)]) == [Flag.SUSPECT]
