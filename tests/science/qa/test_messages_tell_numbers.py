"""An answer tells the number that was sent, with its unit, both in what was seen and in what to do now."""

import pytest

from service.science.flags import Flag
from service.science.qa.engine import assess
from service.science.qa.registry import CHECKS
from tests.science.kits import OXYGEN_TITRATOR, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

WATER_24 = read("water_temperature", 24.0)
CASES = {
    # the reading that is judged comes first; then what else the message must tell
    "air-water": ([WATER_24], {"air_temperature_c": 8.0}, "24 °C", ["8 °C", "16 °C", "10 °C"]),
    "frozen-stream": ([WATER_24], {"ice": "cover"}, "24 °C", ["4 °C"]),
    "dry-stream": ([WATER_24], {"flow": "dry"}, "24 °C", []),
    "tube-turbidity": (
        [read("transparency", 6.0), read("turbidity", 3.0, position=1)],
        {},
        "6 cm",
        ["3 NTU", "10 cm", "20 NTU"],
    ),
    "oxygen-pair": (
        [read("dissolved_oxygen_saturation", 40.0), WATER_24, read("dissolved_oxygen", 8.0)],
        {},
        "40 %",
        ["8 mg/L", "24 °C", "95 %", "10 points"],
    ),
    "oxygen-ph": (
        [read("ph", 9.5), read("dissolved_oxygen_saturation", 70.0)],
        {},
        "pH 9.5",
        ["70 %", "pH to 9", "90 %", "14:00"],
    ),
    "replicates": (
        [
            read("dissolved_oxygen", value, kit=OXYGEN_TITRATOR, position=n)
            for n, value in enumerate((8.0, 12.0))
        ],
        {},
        "8 mg/L",
        ["12 mg/L", "2 mg/L"],
    ),
    "pressure-kind": ([read("barometric_pressure", 1018.0)], {}, "1018 hPa", ["1000 m", "903 hPa"]),
}


@pytest.mark.parametrize("check_id", CASES)
def test_the_number_and_its_unit_are_told(check_id):
    readings, conditions, number, others = CASES[check_id]
    elevation_m = 1000.0 if check_id == "pressure-kind" else 0.0
    visit = visit_with(*readings, conditions=conditions, elevation_m=elevation_m)
    check = next(check for check in CHECKS if check.id == check_id)
    found = assess(visit, [check], limits_for).readings[0].results[0].finding
    assert found.flag in {Flag.SUSPECT, Flag.FAIL}
    assert number in found.message
    assert number in found.advice
    assert [other for other in others if other not in found.message] == []
