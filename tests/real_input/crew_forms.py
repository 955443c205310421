"""A real file of field crews: one form a visit, of streams in all of the forty-eight states, 2000 to 2004.

From forms to visits nothing is made up. A blank cell (a lone space) was planned and not measured. A form
without a time (".") keeps its date alone, which the service must refuse, for nobody knows the instant. What
the check standard of the conductance meter showed is no reading of the stream and is not sent; comments go
into the notes as they are, and no number is read out of them.

The zone of a site is that of its state, in a divided state that of its side of a meridian near the border; a
crew that names the zone of its own watch is believed. A zone that is an hour off moves the instant, and
neither the clock time nor the date that the form says.
"""

import csv
import uuid
from collections.abc import Iterable
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import pytest

from tests.api import Json
from tests.real_input.class_files import FOLDER, Row

FORMS_FILE = "wsa-field-chemistry-latin1.csv"
PLACES_FILE = "wsa-site-verification.csv"
MEASURED = {
    "STRMTEMP": ("water_temperature", "degC"),
    "STRM_DO": ("dissolved_oxygen", "mg/L"),
    "STRMCOND": ("specific_conductance", "uS/cm"),
}
NOT_OF_THE_STREAM = "QCCSCOND"
COMMENTS = ("COM_IM", "COM_QCCS", "COM_COND", "COM_DO", "COM_TEMP", "TIME_COM")
SAME_PLACE_DEGREES = 0.2
NAMESPACE = uuid.UUID("0b0f6a52-5d0e-4b6e-9d43-0a7f4f0f52c3")

EASTERN, CENTRAL, MOUNTAIN, PACIFIC = (
    f"America/{city}" for city in ("New_York", "Chicago", "Denver", "Los_Angeles")
)
STATES = {
    EASTERN: "CT DE FL GA IN KY MA MD ME MI NC NH NJ NY OH PA SC VA VT WV",
    CENTRAL: "AL AR IA IL KS LA MN MO MS ND NE OK SD TN TX WI",
    MOUNTAIN: "CO ID MT NM UT WY",
    PACIFIC: "CA NV OR WA",
    "America/Phoenix": "AZ",
}
ZONE_OF_STATE = {state: zone for zone, states in STATES.items() for state in states.split()}
# state: meridian near the border of the zones [degrees east], and the zone on the other side of it
DIVIDED = {
    "FL": (-85.0, CENTRAL),
    "KY": (-86.0, CENTRAL),
    "TN": (-85.0, EASTERN),
    "KS": (-101.5, MOUNTAIN),
    "ND": (-102.0, MOUNTAIN),
    "NE": (-101.0, MOUNTAIN),
    "SD": (-100.5, MOUNTAIN),
    "TX": (-105.0, MOUNTAIN),
    "OR": (-118.2, MOUNTAIN),
}
EAST_OF_THE_MERIDIAN = frozenset({"TN", "OR"})

# Judged by hand, with the crews' comments beside the numbers.
PERCENT_AS_MG_PER_L = {
    "WNVP99-0555 07/03/2001",
    "WNVP99-0559 06/15/2001",
    "WNVP99-0561 06/19/2001",
    "WUTP99-0604 07/12/2001",
    "WUTP99-0620 07/16/2001",
}
# "Do not trust the reading", "80.6 % saturation" beside 16.9 mg/L, "this could be % sat", 254 % at 07:20.
OXYGEN_METER_WRONG = {
    "WNDP99-0680 08/21/2003",
    "WNDP99-0689 08/20/2003",
    "WNDP99-0711 08/19/2003",
    "WNDP99-0716 08/20/2003",
    "WAZP99-0599 06/29/2004",
    "WCAP99-0764 06/20/2002",
    "WSDP99-0667 07/23/2002",
    "WWAP99-0722 10/16/2002",
}
# 0 µS/cm does not exist ("flashing"); 1.2 beside a salinity of 0.6 and 0.34 are mS/cm.
CONDUCTANCE_WRONG = {
    "WMTP99-0509 09/13/2001",
    "WMTP99-0517 09/16/2001",
    "WMTP99-0836 07/29/2003",
    "WCAP99-0891 06/14/2001",
    "WMTP99-0707 08/11/2003",
}
# Water of 9 to 17 degC with 0.9 to 2.6 mg/L, or 159 to 162 % before noon: nobody can tell from the form.
CANNOT_TELL = {
    ("WCAP99-0787 06/27/2001", "dissolved_oxygen"),
    ("WCAP99-0810 07/26/2001", "dissolved_oxygen"),
    ("WCAP99-0832 07/24/2001", "dissolved_oxygen"),
    ("WCAP99-0895 06/28/2001", "dissolved_oxygen"),
    ("WUTP99-0696 09/12/2002", "dissolved_oxygen"),
    ("WMTP99-0748 07/17/2003", "dissolved_oxygen"),
    ("WAZP99-0716 06/20/2002", "dissolved_oxygen"),
    ("WCAP99-0785 05/24/2001", "dissolved_oxygen"),
    ("WCAP99-0989 06/18/2002", "dissolved_oxygen"),
    ("OWW04440-0974 10/06/2004", "water_temperature"),  # 1.5 degC in a mild October: 15 perhaps
}
HOT_SPRING = ("WNVP99-0622 06/19/2002", "water_temperature")
# Hard water of the dry plains: the crews repeat the number in a comment, or a salinity that fits it.
SALINE = {
    "WCAP99-0654 06/13/2001",
    "WCAP99-1039 05/07/2002",
    "WCOP01-0836 09/06/2001",
    "WMTP99-0635 09/28/2001",
    "WMTP99-0653 09/23/2001",
    "WMTP99-0697 10/09/2002",
    "WMTP99-0699 10/10/2002",
    "WMTP99-0715 08/08/2003",
    "WNDP99-0578 07/24/2001",
    "WNDP99-0701 06/09/2002",
    "WNDP99-0707 06/10/2003",
    "WSDP99-0660 07/10/2002",
    "WSDP99-0666 07/09/2002",
    "WSDP99-0695 06/18/2002",
}


def latin1_rows(name: str) -> list[Row]:
    """Return the rows of a file in Latin-1; skip the test where the file is not at hand."""
    path = FOLDER / name
    if not path.is_file():
        pytest.skip(f"the open data file {name} is not beside the repository")
    with path.open(encoding="latin-1", newline="") as file:
        return list(csv.DictReader(file))


def form_key(row: Row) -> str:
    """Return what tells one form from another: a site was visited up to three times."""
    return f"{row['SITE_ID']} {row['DATE_COL']}"


def site_code(row: Row) -> str:
    return row["SITE_ID"].lower()


def number(text: str) -> float | None:
    try:
        return float(text)
    except ValueError:
        return None


def usable_place(row: Row) -> tuple[float, float] | None:
    """Return latitude and longitude where map and satellite say the same place, or only one says any."""
    on_map, by_satellite = (
        tuple(number(row[f"{source}{axis}_DD"]) for axis in ("LAT", "LON")) for source in "MX"
    )
    known = [pair for pair in (on_map, by_satellite) if None not in pair]
    if not known or any(
        abs(one - other) > SAME_PLACE_DEGREES for one, other in zip(known[0], known[-1], strict=True)
    ):
        return None
    return known[0]


def zone_of(place_row: Row | None) -> str | None:
    """Return the time zone of a site; without a usable place that of the greater part of its state."""
    if place_row is None:
        return None
    state, place = place_row["STATE"], usable_place(place_row)
    zone = ZONE_OF_STATE[state]
    if state not in DIVIDED or place is None:
        return zone
    meridian, other_zone = DIVIDED[state]
    return other_zone if (place[1] > meridian) == (state in EAST_OF_THE_MERIDIAN) else zone


def zone_of_watch(row: Row, place_row: Row | None) -> str | None:
    """Return the zone that the crew names, which may be that of its office, or the site's."""
    named = {"central": CENTRAL, "eastern": EASTERN}.get(row["TIME_COM"].lower().partition(" ")[0])
    return named or zone_of(place_row)


def site_of(code: str, place_row: Row | None) -> Json:
    """Return the site of a form. Elevation and watershed are in no column."""
    body: Json = {"code": code, "name": f"Site {code.upper()}", "school": "crews"}
    place, zone = (usable_place(place_row) if place_row else None), zone_of(place_row)
    if place is not None:
        body |= {"latitude": place[0], "longitude": place[1]}
    return body | ({"time_zone": zone} if zone else {})


def observed_at(row: Row, zone: str | None) -> str:
    """Return the local time of a form with its offset, or its date alone where it has no time."""
    on = datetime.strptime(row["DATE_COL"], "%m/%d/%Y")
    hours, _, minutes = row["TIME"].partition(":")
    if zone is None or not (hours.strip().isdigit() and minutes.strip().isdigit()):
        return on.date().isoformat()
    clock = timedelta(hours=int(hours), minutes=int(minutes))
    return (on + clock).replace(tzinfo=ZoneInfo(zone)).isoformat()


def visit_of(row: Row, zone: str | None) -> Json:
    """Return the visit of one form, every box of the stream a reading, a blank one without a value."""
    said = [row[column].strip() for column in COMMENTS]
    return {
        "visit_id": str(uuid.uuid5(NAMESPACE, form_key(row))),
        "site": site_code(row),
        "observed_at": observed_at(row, zone),
        "readings": [
            {"parameter": parameter, "value": number(row[column]), "unit": unit}
            for column, (parameter, unit) in MEASURED.items()
        ],
        "notes": "; ".join([f"sampled: {row['SAMPLED']}", *filter(None, said)]),
    }


def by_site(rows: Iterable[Row]) -> dict[str, Row]:
    return {site_code(row): row for row in rows}
