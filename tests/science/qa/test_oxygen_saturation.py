from dataclasses import replace
from datetime import datetime

import pytest

from service.science.flags import Flag
from service.science.qa.checks import oxygen_saturation
from service.science.types import Kit
from tests.science.check_table import rows
from tests.science.kits import OXYGEN_TABLETS, OXYGEN_TITRATOR, THERMOMETER_WITHIN_1, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import ZONE, visit_with

LIMITS = limits_for("oxygen-saturation")
PERCENT_METER = Kit(
    "percent-meter", "oxygen meter", "meter", "dissolved_oxygen_saturation", "%", 0, 200, step=1, accuracy=3
)


def at(clock, day="2026-05-14"):
    return datetime.fromisoformat(f"{day}T{clock}:00").replace(tzinfo=ZONE)


def finding(oxygen, *others, clock="14:00", **about):
    visit = visit_with(oxygen, *others, observed_at=at(clock), **about)
    return oxygen_saturation.run(oxygen, visit, LIMITS)


@pytest.mark.parametrize("row", rows("oxygen_consistency_cases"), ids=lambda row: row["case"])
def test_consistency_cases(row):
    oxygen = replace(
        read("dissolved_oxygen", float(row["oxygen_mg_per_l"])),
        low=float(row["oxygen_low"]),
        high=float(row["oxygen_high"]),
    )
    temperature = replace(
        read("water_temperature", float(row["temperature_c"])),
        low=float(row["temperature_low"]),
        high=float(row["temperature_high"]),
    )
    found = finding(oxygen, temperature, clock=row["local_time"], elevation_m=float(row["elevation_m"]))
    tolerance = float(row["tolerance"])
    assert found.flag == int(row["flag"])
    assert found.evidence["percent_from"] == pytest.approx(float(row["percent_from"]), abs=tolerance)
    assert found.evidence["percent_to"] == pytest.approx(float(row["percent_to"]), abs=tolerance)


def test_elevation_matters():
    # 8 mg/L at 20 degC is 93.52 % at 500 m and 87.99 % at sea level (Benson & Krause 1984, worked out apart)
    oxygen, temperature = read("dissolved_oxygen", 8.0), read("water_temperature", 20.0)
    found = finding(oxygen, temperature, elevation_m=None)
    assert found.evidence["percent"] == pytest.approx(87.99, abs=0.005)
    assert "sea level" in found.evidence["assumed"]


@pytest.mark.parametrize(
    ("oxygen", "mark", "temperature", "flag"),
    [
        # percent of 9.092 mg/L at 20 degC and 11.288 at 10 degC, 1 atm (Benson & Krause 1984), by hand
        (13.6, None, 20.0, 1),  # 149.6 %
        (13.7, None, 20.0, 3),  # 150.7 %
        (1.8, None, 20.0, 3),  # 19.8 %
        (1.9, None, 20.0, 1),  # 20.9 %
        (2.0, "<", 10.0, 3),  # at most 17.7 %
        (4.0, "<", 10.0, 1),  # at most 35.4 %
        (12.0, ">", 10.0, 1),  # at least 106.3 %
        (18.0, ">", 10.0, 3),  # at least 159.5 %
    ],
)
def test_the_usual_span(oxygen, mark, temperature, flag):
    assert (
        finding(read("dissolved_oxygen", oxygen, censored=mark), read("water_temperature", temperature)).flag
        == flag
    )


def test_a_coarse_kit_is_suspect_only_when_all_it_leaves_open_is_out():
    # 8 +- 2 mg/L in water of 36 +- 1 degC (6.95 mg/L at 35, Benson & Krause 1984): 86 % at its lowest
    warm = read("water_temperature", 36.0, kit=THERMOMETER_WITHIN_1)
    found = finding(read("dissolved_oxygen", 8.0, kit=OXYGEN_TABLETS), warm)
    assert found.flag is Flag.PASS
    assert found.evidence["percent_from"] == pytest.approx(86.3, abs=0.1)
    assert "with this kit" in found.message


def test_a_low_reading_that_may_be_above_the_limit_is_not_suspect():
    # 1.8 +- 0.4 mg/L at 20 degC (9.092 mg/L, Benson & Krause 1984): 19.8 %, up to 24.2 %
    found = finding(read("dissolved_oxygen", 1.8, kit=OXYGEN_TITRATOR), read("water_temperature", 20.0))
    assert found.flag is Flag.PASS
    assert found.evidence["percent_to"] == pytest.approx(24.2, abs=0.05)


@pytest.mark.parametrize(
    ("clock", "day", "flag"),
    [
        ("07:59", "2026-05-14", 3),
        ("08:00", "2026-05-14", 1),
        ("00:00", "2026-05-14", 3),
        ("23:59", "2026-05-14", 1),
        # the clocks went forward at 02:00 on 8 March 2026 and back on 1 November: the wall clock counts
        ("07:30", "2026-03-08", 3),
        ("08:30", "2026-03-08", 1),
        ("07:30", "2026-11-01", 3),
    ],
)
def test_much_oxygen_early_in_the_morning(clock, day, flag):
    # K3 and K4: 12 mg/L at 20 degC is 131.98 %, common practice asks above 120 % before 08:00
    oxygen, temperature = read("dissolved_oxygen", 12.0), read("water_temperature", 20.0)
    visit = visit_with(oxygen, temperature, observed_at=at(clock, day))
    assert oxygen_saturation.run(oxygen, visit, LIMITS).flag == flag


@pytest.mark.parametrize(
    ("percent", "clock", "flag"),
    [(152.0, "14:00", 1), (154.0, "14:00", 3), (16.0, "14:00", 3), (125.0, "06:00", 3)],
)
def test_a_percent_meter_needs_no_temperature(percent, clock, flag):
    # +- 3 % of the meter: 152 leaves 149 open, 154 only 151 and more
    reading = read("dissolved_oxygen_saturation", percent, kit=PERCENT_METER)
    assert finding(reading, clock=clock).flag == flag


def test_without_a_temperature_it_is_not_evaluated_and_asks_for_one():
    found = finding(read("dissolved_oxygen", 9.0))
    assert found.flag is Flag.NOT_EVALUATED
    assert "this visit has none" in found.message
    assert found.advice.startswith("Take the water temperature")


@pytest.mark.parametrize(
    ("temperature", "mark", "elevation_m"),
    [(-0.5, None, 0.0), (20.0, "<", 0.0), (20.0, None, 6000.0), (20.0, None, 12_000.0)],
)
def test_outside_the_formula_it_is_not_evaluated(temperature, mark, elevation_m):
    water = read("water_temperature", temperature, censored=mark)
    found = finding(read("dissolved_oxygen", 9.0), water, elevation_m=elevation_m)
    assert found.flag is Flag.NOT_EVALUATED
    assert "the formula needs" in found.message


def test_ice_water_read_to_one_degree_is_evaluated():
    # 14.621 mg/L at 0 degC (Benson & Krause 1984); the span ends at freezing
    ice_water = read("water_temperature", 0.0, kit=THERMOMETER_WITHIN_1)
    found = finding(read("dissolved_oxygen", 14.0), ice_water)
    assert found.flag is Flag.PASS
    assert found.evidence["percent_from"] == pytest.approx(95.75, abs=0.01)


def test_high_and_low_get_different_advice():
    warm = read("water_temperature", 25.0)
    high = finding(read("dissolved_oxygen", 14.0), warm)
    low = finding(read("dissolved_oxygen", 1.0), warm)
    assert high.message == (
        "Dissolved oxygen 14 mg/L at 25 °C is 169 % of what the water can hold; in streams it is nearly "
        "always 20 to 150 %. (Assumed: pressure from elevation; fresh water.)"
    )
    assert "bubble" in high.advice
    assert "riffle" in low.advice
    assert "rotting leaves" in low.advice


def test_over_200_percent_is_called_an_error():
    # 24 mg/L at 25 degC is 290 % of 8.263 mg/L (Benson & Krause 1984)
    found = finding(read("dissolved_oxygen", 24.0), read("water_temperature", 25.0))
    assert found.flag is Flag.SUSPECT
    assert "very likely an error" in found.message
