"""Kits and parameters say what the trade says. Source of every fact: common practice, unless named."""

import pytest

from service.reference.load import load_catalogue
from service.science.units import convert

CATALOGUE = load_catalogue()
KITS = CATALOGUE.kits

# Numbers a person can read off each kit: smallest, largest, how many marks, spacing, may it read 0.
SCALES = [
    ("thermometer-alcohol", -5, 45, 0, 0.5, True),
    ("thermometer-digital", -40, 70, 0, 0.1, True),
    ("thermometer-fahrenheit", 0, 120, 0, 1, True),
    ("ph-tablet-comparator", 4, 10, 7, None, True),
    ("ph-comparator-wide", 3, 10.5, 16, None, True),
    ("ph-comparator-narrow", 6, 8.4, 13, None, True),
    ("ph-meter", 0, 14, 0, 0.1, True),
    ("oxygen-tablet-comparator", 4, 8, 3, None, False),
    ("oxygen-ampoule-comparator", 1, 12, 12, None, False),
    ("oxygen-drop-count", 0.5, 20, 0, 0.5, False),
    ("oxygen-titrator", 0.2, 20, 0, 0.2, False),
    ("oxygen-meter", 0, 20, 0, 0.1, True),
    ("oxygen-meter-percent", 0, 200, 0, 1, True),
    ("transparency-tube-60", 1, 60, 0, 1, False),
    ("transparency-tube-100", 1, 100, 0, 1, False),
    ("transparency-tube-120", 1, 120, 0, 1, False),
    ("turbidity-meter", 0, 1000, 0, 0.1, True),
    ("conductivity-meter", 0, 2000, 0, 10, True),
    ("nitrate-tablet-comparator", 5, 40, 3, None, False),
    ("nitrate-strip", 1, 50, 6, None, False),
    ("nitrate-zinc-comparator", 0.25, 10, 8, None, False),
    ("nitrate-cadmium-low", 0.05, 0.8, 0, 0.05, False),
    ("phosphate-tablet-comparator", 1, 4, 3, None, False),
    ("phosphate-ascorbic-comparator", 0.1, 2, 0, 0.1, False),
    ("alkalinity-drop-count", 20, 500, 0, 20, False),
    ("alkalinity-titrator", 4, 200, 0, 4, False),
    ("hardness-drop-count", 20, 500, 0, 20, False),
    ("hardness-titrator", 4, 200, 0, 4, False),
    ("chloride-strip", 30, 600, 6, None, False),
    ("ammonia-tablet-comparator", 0.25, 4, 5, None, False),
    ("e-coli-plate-1ml", 100, 20000, 0, 100, False),
    ("e-coli-plate-5ml", 20, 4000, 0, 20, False),
    ("e-coli-tray", 1, 2419.6, 0, 0.1, False),
]


@pytest.mark.parametrize(("code", "lower", "upper", "marks", "step", "reads_zero"), SCALES)
def test_scale(
    code: str, lower: float, upper: float, marks: int, step: float | None, reads_zero: bool
) -> None:
    kit = KITS[code]
    assert (kit.lower, kit.upper, len(kit.marks), kit.step, kit.reads_zero) == (
        lower,
        upper,
        marks,
        step,
        reads_zero,
    )


def test_no_kit_is_without_a_row_above() -> None:
    assert set(KITS) == {row[0] for row in SCALES}


@pytest.mark.parametrize(
    ("code", "minutes"),
    [
        # Oxygen tablets: five minutes; ampoules: two (procedure pages of schools and universities).
        ("oxygen-tablet-comparator", 5),
        ("oxygen-ampoule-comparator", 2),
        # A thermometer stays a minute in the water (USGS National Field Manual, A6.1).
        ("thermometer-alcohol", 1),
        # The two published cadmium methods read at 5 to 15 and at 10 to 20 minutes.
        ("nitrate-cadmium-low", 10),
    ],
)
def test_waiting_time(code: str, minutes: float) -> None:
    assert KITS[code].wait_minutes_min == minutes


@pytest.mark.parametrize(("code", "plated_ml"), [("e-coli-plate-1ml", 1), ("e-coli-plate-5ml", 5)])
def test_one_colony_stands_for_its_share_of_100_ml(code: str, plated_ml: float) -> None:
    assert KITS[code].step == KITS[code].lower == 100 / plated_ml


@pytest.mark.parametrize(
    ("code", "mark", "stored"),
    [
        # 14.007 / 62.004 = 0.225905 and 30.973762 / 94.969762 = 0.326143 by IUPAC atomic weights.
        ("nitrate-tablet-comparator", 40, 9.0362),
        ("nitrate-zinc-comparator", 10, 10),
        ("phosphate-tablet-comparator", 1, 0.326143),
        ("thermometer-fahrenheit", 50, 10),
    ],
)
def test_a_kit_reads_on_the_basis_of_its_own_sheet(code: str, mark: float, stored: float) -> None:
    kit = KITS[code]
    parameter = CATALOGUE.parameters[kit.parameter]
    assert convert(mark, kit.unit, parameter.unit) == pytest.approx(stored, rel=1e-4)


def test_instructions_are_short_enough_to_read_at_the_creek() -> None:
    assert all(40 < len(kit.instructions) < 260 for kit in KITS.values())


def test_kits_of_a_parameter_come_in_the_order_of_the_file() -> None:
    assert [kit.code for kit in CATALOGUE.kits_for("phosphate")] == [
        "phosphate-tablet-comparator",
        "phosphate-ascorbic-comparator",
    ]


@pytest.mark.parametrize(
    ("parameter", "wqx_name", "wqx_unit", "speciation"),
    [
        # Characteristic names of the Water Quality Exchange, as they stand in public data files.
        ("water_temperature", "Temperature, water", "deg C", ""),
        ("ph", "pH", "None", ""),
        ("dissolved_oxygen", "Dissolved oxygen (DO)", "mg/l", ""),
        ("dissolved_oxygen_saturation", "Dissolved oxygen saturation", "%", ""),
        ("transparency", "Transparency, tube with disk", "cm", ""),
        ("nitrate", "Nitrate", "mg/l", "as N"),
        ("phosphate", "Orthophosphate", "mg/l", "as P"),
        ("specific_conductance", "Specific conductance", "uS/cm", ""),
    ],
)
def test_standard_names(parameter: str, wqx_name: str, wqx_unit: str, speciation: str) -> None:
    listed = CATALOGUE.parameters[parameter]
    assert (listed.wqx_name, listed.wqx_unit, listed.wqx_speciation) == (wqx_name, wqx_unit, speciation)


def test_instrument_turbidity_of_the_other_kind_is_not_accepted() -> None:
    # NTU (white light) and FNU (near infrared) are read by different instruments (ISO 7027; from memory).
    assert CATALOGUE.parameters["turbidity"].units == ("NTU",)


@pytest.mark.parametrize(
    ("parameter", "slip"),
    [
        ("dissolved_oxygen", 95.0),  # percent written in the mg/L box
        ("water_temperature", 68.0),  # degrees Fahrenheit written as Celsius
        ("transparency", 600.0),  # millimetres written as centimetres
        ("barometric_pressure", 29.92),  # inches of mercury written as hPa
        ("water_depth", 35.0),  # centimetres written as metres
    ],
)
def test_a_slip_of_the_trade_is_within_physical_bounds_so_that_the_checks_see_it(
    parameter: str, slip: float
) -> None:
    listed = CATALOGUE.parameters[parameter]
    assert listed.physical_min <= slip <= listed.physical_max
