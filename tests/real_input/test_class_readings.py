"""Every row of a real file of meter readings is handed in, and each cell is accounted for and read back.

Facts about the file are those of its description (602 rows, 46 of them without a time, one unit a column);
the pytest option ``-s`` shows the tables of what became of it.
"""

from collections import Counter
from datetime import datetime
from zoneinfo import ZoneInfo

import pytest

from tests.api import Json
from tests.real_input.class_files import ABSENT, Row
from tests.real_input.class_visits import MEASURED, NOT_A_PARAMETER, SITES
from tests.real_input.handed_in import HandedIn, in_short, print_fates

ROWS = 602
NEW_YORK = ZoneInfo("America/New_York")
# IUPAC abridged standard atomic weights 2021: N 14.007, O 15.999; of 62.004 g nitrate 14.007 g are nitrogen.
STORED = {"depth": ("m", 0.01), "nitrate": ("mg/L as N", 14.007 / 62.004)}


def all_rows(handed_in: HandedIn) -> list[tuple[str, Row]]:
    return [(sample, row) for sample, rows in handed_in.readings.items() for row in rows]


def in_document(document: Json, row: Row, parameter: str) -> Json:
    quadrat = int(row["quadrat"])
    (found,) = [
        reading
        for reading in document["readings"]
        if (reading["parameter"], reading["replicate"]) == (parameter, quadrat)
    ]
    return found


def test_every_row_is_released_held_or_refused_with_a_reason(handed_in: HandedIn) -> None:
    fates = [handed_in.fate(sample) for sample, _ in all_rows(handed_in)]
    print_fates("rows of the readings file", fates)
    counted = Counter(map(in_short, fates))
    assert counted["released"] + counted["held"] + counted["refused"] == len(fates) == ROWS
    assert counted["refused"] == 0
    assert all(": " in fate for fate in fates if fate.startswith("held"))


def test_every_cell_is_stored_or_missing_or_not_taken(handed_in: HandedIn) -> None:
    cells: Counter[str] = Counter()
    for _, row in all_rows(handed_in):
        for column in (*MEASURED, NOT_A_PARAMETER):
            if column == NOT_A_PARAMETER:
                kind = (
                    "empty, and no such parameter"
                    if row[column] == ABSENT
                    else "not taken: no such parameter"
                )
            else:
                kind = "sent as missing" if row[column] == ABSENT else "sent with its value"
            cells[kind] += 1
    print_fates("cells of the readings file", cells.elements())
    rows = [reading for document in handed_in.documents.values() for reading in document["readings"]]
    assert sum(reading["value"] is not None for reading in rows) == cells["sent with its value"]
    assert sum(reading["value"] is None for reading in rows) == cells["sent as missing"]
    assert len(rows) == ROWS * len(MEASURED)
    assert cells.total() == ROWS * (len(MEASURED) + 1)


def test_each_written_value_reads_back_with_its_unit(handed_in: HandedIn) -> None:
    for sample, row in all_rows(handed_in):
        for column, (parameter, unit) in MEASURED.items():
            reading = in_document(handed_in.documents[sample], row, parameter)
            wanted = None if row[column] == ABSENT else float(row[column])
            assert reading["written"] == {"value": wanted, "unit": unit, "censored": None}, (sample, column)
            assert (reading["flag"] == 9) == (wanted is None), (sample, column)


def test_the_lists_hold_every_value_once_in_the_unit_of_storage(handed_in: HandedIn) -> None:
    listed = {
        (row["visit_id"], row["parameter"], row["replicate"]): (row["value"], row["unit"])
        for row in handed_in.api.every("/v1/readings?limit=1000", "coordinator")
    }
    assert len(listed) == ROWS * len(MEASURED)
    for sample, row in all_rows(handed_in):
        for column, (parameter, written_unit) in MEASURED.items():
            value, unit = listed[handed_in.bodies[sample]["visit_id"], parameter, int(row["quadrat"])]
            if row[column] == ABSENT:
                assert value is None, (sample, column)
                continue
            wanted_unit, factor = STORED.get(column, (written_unit, 1.0))
            assert value == pytest.approx(float(row[column]) * factor, rel=1e-11), (sample, column)
            assert unit == wanted_unit


def test_a_column_of_the_list_has_one_unit_a_parameter(handed_in: HandedIn) -> None:
    units: dict[str, set[str]] = {}
    for row in handed_in.api.every("/v1/readings?limit=1000", "coordinator"):
        units.setdefault(row["parameter"], set()).add(row["unit"])
    assert [parameter for parameter, named in units.items() if len(named) > 1] == []


def test_every_visit_is_listed_once_at_its_site_and_local_date(handed_in: HandedIn) -> None:
    listed = {
        row["visit_id"]: (row["site"], row["observed_on"], row["state"], len(row["readings"]))
        for row in handed_in.api.every("/v1/visits?limit=1000", "coordinator")
    }
    assert listed == {
        body["visit_id"]: (
            SITES[handed_in.readings[sample][0]["location"]],
            handed_in.readings[sample][0]["date"],
            in_short(handed_in.fate(sample)),
            len(handed_in.readings[sample]) * len(MEASURED),
        )
        for sample, body in handed_in.bodies.items()
    }


def test_the_public_sees_the_released_visits_and_no_other(handed_in: HandedIn) -> None:
    public = {row["visit_id"] for row in handed_in.api.every("/v1/visits?limit=1000")}
    assert public == {
        body["visit_id"] for sample, body in handed_in.bodies.items() if handed_in.fate(sample) == "released"
    }


def test_the_utc_column_is_local_time_by_the_rules_of_the_zone(handed_in: HandedIn) -> None:
    # The file is said to be local + 4 h throughout; it holds no date between November and April.
    timed = [row for _, row in all_rows(handed_in) if row["startTime"] != ABSENT]
    broken = [
        row["sampleID"]
        for row in timed
        if datetime.fromisoformat(row["dateTime.UTC"]).astimezone(NEW_YORK).strftime("%Y-%m-%d %H:%M:%S")
        != f"{row['date']} {row['startTime']}"
    ]
    assert broken == []
    assert len(timed) == ROWS - 46
    assert {row["date"][5:7] for row in timed} <= {"05", "06", "07", "08", "09", "10"}


def test_a_quadrat_without_a_time_goes_with_the_others_of_its_visit(handed_in: HandedIn) -> None:
    untimed = [(sample, row) for sample, row in all_rows(handed_in) if row["startTime"] == ABSENT]
    assert len(untimed) == len({sample for sample, _ in untimed}) == 46
    for sample, row in untimed:
        stated = {other["dateTime.UTC"] for other in handed_in.readings[sample]} - {ABSENT}
        private = handed_in.documents[sample]["private"]
        assert private["observed_at"] == min(stated)
        assert f"quadrat {row['quadrat']} no time written" in private["notes"]


def test_light_is_refused_by_name_and_the_answer_lists_what_is_known(handed_in: HandedIn) -> None:
    sample, body = next(iter(handed_in.bodies.items()))
    light = {
        "parameter": "light",
        "value": float(handed_in.readings[sample][0]["light"]),
        "unit": "umol/m2/s",
    }
    answer = handed_in.api.post("/v1/visits?dry_run=true", body | {"readings": [light]}, "class")
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["pointer"] == "/readings/0/parameter"
    assert error["message"].startswith("light is not a parameter of this network; known are ")


def test_sending_a_visit_again_stores_nothing_new(handed_in: HandedIn) -> None:
    sample, body = next(iter(handed_in.bodies.items()))
    again = handed_in.api.post("/v1/visits", body, "class")
    assert again.status_code == 200
    assert again.json() == handed_in.documents[sample]
