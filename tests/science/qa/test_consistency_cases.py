"""Worked cases of visits that contradict themselves, run through the engine by the id of the check."""

from datetime import datetime

import pytest

from service.science.qa.engine import assess
from service.science.qa.registry import CHECKS
from tests.science.check_table import rows
from tests.science.kits import read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import ZONE, visit_with

COLUMNS = {
    "water_c": "water_temperature",
    "ph": "ph",
    "oxygen_percent": "dissolved_oxygen_saturation",
    "tube_cm": "transparency",
    "turbidity_ntu": "turbidity",
}


def visit_of(row):
    readings = [
        read(
            parameter,
            float(row[column]),
            censored=row["tube_censored"] or None if column == "tube_cm" else None,
            position=position,
        )
        for position, (column, parameter) in enumerate(COLUMNS.items())
        if row[column]
    ]
    conditions = {name: row[name] for name in ("ice", "flow") if row[name]}
    if row["air_c"]:
        conditions["air_temperature_c"] = float(row["air_c"])
    at = datetime.fromisoformat(f"2026-05-14T{row['local_time']}").replace(tzinfo=ZONE)
    return visit_with(*readings, observed_at=at, conditions=conditions)


@pytest.mark.parametrize("row", rows("visit_consistency_cases"), ids=lambda row: row["case"])
def test_worked_case(row):
    visit = visit_of(row)
    check = next(check for check in CHECKS if check.id == row["check"])
    answers = assess(visit, [check], limits_for).readings
    index = [reading.parameter for reading in visit.readings].index(row["reading"])
    assert answers[index].flag == int(row["flag"])
