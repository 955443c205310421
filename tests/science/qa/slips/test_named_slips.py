"""Each mistake of the trade that leads to a number: planted, flagged, named, and never corrected."""

import pytest

from service.science.flags import Flag
from service.science.qa.engine import assess
from service.science.qa.registry import CHECKS
from tests.science.qa.limits import limits_for
from tests.science.qa.slips.entry_errors import handled_by
from tests.science.qa.slips.planted import DRY_WEATHER, checked, named, past, row, visit_of

THERMOMETER, DIGITAL, IN_F = "thermometer-alcohol", "thermometer-digital", "thermometer-fahrenheit"
TUBE_60, TUBE_120 = "transparency-tube-60", "transparency-tube-120"
AS_N, AS_NO3, AS_P = "mg/L as N", "mg/L as NO3", "mg/L as P"
CARD_NO3, CARD_N, CARD_PO4 = (
    "nitrate-tablet-comparator",
    "nitrate-zinc-comparator",
    "phosphate-tablet-comparator",
)
COLONIES = "CFU/100 mL"
WATER_12 = row("water_temperature", 12.0, THERMOMETER)
NEAR_12 = {"water_temperature": past([10.5, 11, 12, 12.5, 13, 12, 11.5, 12.5, 13.5, 12], THERMOMETER)}
NEAR_1 = {"water_temperature": past([1, 2, 0, 1.5] * 3, THERMOMETER)}
NEAR_8 = {"water_temperature": past([8, 8.5, 9, 8] * 3, THERMOMETER)}
NEAR_70_CM = {"transparency": past([70, 72, 75, 66, 69, 71] * 4, TUBE_120)}
NEAR_1_MG = {"nitrate": past([1.0, 1.1, 0.9, 1.0] * 4)}
NEAR_160_US = {"specific_conductance": past([160, 170, 150, 160] * 4, "conductivity-meter")}
AT_SEA_LEVEL = {"barometric_pressure": past([1010, 1005, 1015, 1002] * 4)}
BOTH_OXYGENS = (row("dissolved_oxygen", 90.0), row("dissolved_oxygen_saturation", 9.7), WATER_12)
WARM_AIR, AIR_12 = {"air_temperature_c": 16.0}, {"air_temperature_c": 12.0}


def one(parameter, value, kit=None, unit=None, *others, **around):
    return visit_of(row(parameter, value, kit, unit), *others, **around)


def water(value, kit=THERMOMETER, unit="degC", **around):
    return one("water_temperature", value, kit, unit, **around)


def tube(value, kit, **around):
    return one("transparency", value, kit, "cm", **around)


def air(value, unit, **around):
    return one("barometric_pressure", value, None, unit, **around)


# mistake of the trade, slip, what it would be, words of the question, visit, position. Factors by definition:
# °F = 32 + 1.8 °C, inch 2.54 cm, inHg 33.8639 hPa, mmHg 1.33322 hPa, psi 68.9476 hPa; NO3/N 4.4268 and PO4/P
# 3.0662 from atomic weights. Fresh water of 12 degC in balance at sea level holds 10.78 mg/L (Benson & Krause
# 1984). What one drop and one colony stand for is in the name of the kit.
F, C, AIR = "fahrenheit-as-celsius", "celsius-as-fahrenheit", "air-and-water-exchanged"
POINT, LEFT = "decimal-point-lost", "decimal-point-too-far-left"
NAMED = [
    ("temp-f-as-c", F, 17.8, "Was it read in °F? Then it would be 17.8 °C.", water(64.0), 0),
    ("temp-f-as-c", F, 12.2, "it would be 12.2 °C", water(54.0, past=NEAR_12), 0),  # case K9 of the reference
    ("temp-f-as-c", F, 1.1, "it would be 1.1 °C", water(34.0, past=NEAR_1), 0),  # ambiguous but for the past
    ("temp-f-as-c", F, 20.0, "it would be 20 °C", water(68.0, IN_F), 0),
    ("temp-f-as-c", C, 12.0, "Was it read in °C? Then it would be 12 °C.", water(12.0, DIGITAL, "degF"), 0),
    ("temp-air-water-swap", AIR, 12.0, "water would be 12 °C",
        water(24.0, past=NEAR_12, conditions=AIR_12), 0),
    ("temp-decimal-slip", POINT, 18.5, "it would be 18.5 °C", water(185.0), 0),
    ("temp-decimal-slip", POINT, 8.5, "it would be 8.5 °C", water(85.0, past=NEAR_8), 0),  # 29.4 °C as °F
    ("temp-decimal-slip", LEFT, 12.0, "it would be 12 °C", water(1.2, DIGITAL, past={
        "water_temperature": past([12, 11, 13, 12] * 3, DIGITAL)}), 0),
    ("do-pct-in-mgl", "percent-as-mg-per-l", 9.7, "Is it percent of saturation? Then it would be 9.7 mg/L.",
        one("dissolved_oxygen", 90.0, "oxygen-meter", "mg/L", WATER_12), 0),
    ("do-pct-in-mgl", "percent-as-mg-per-l", 9.2, "it would be 9.2 mg/L",  # worked out from a titration
        one("dissolved_oxygen", 85.0, "oxygen-titrator", "mg/L", WATER_12), 0),
    ("ph-decimal", POINT, 8.4, "it would be 8.4 mg/L", one("dissolved_oxygen", 84.0, "oxygen-titrator"), 0),
    ("ph-decimal", POINT, 7.2, "it would be 7.2", one("ph", 72.0), 0),
    ("do-mgl-in-pct", "mg-per-l-as-percent", 85.0, "Is it mg/L and not percent? Then it would be 85 %.",
        one("dissolved_oxygen_saturation", 9.2, "oxygen-meter-percent", "%", WATER_12), 0),
    ("temp-decimal-slip", POINT, 18.3, "it would be 65 °F", water(650.0, IN_F, "degF", past={
        "water_temperature": past([18, 17, 19, 18] * 3, IN_F)}), 0),
    ("do-pair-swapped", "oxygen-boxes-exchanged", 9.7, "it would be 9.7 mg/L", visit_of(*BOTH_OXYGENS), 0),
    ("do-pair-swapped", "oxygen-boxes-exchanged", 90.0, "it would be 90 %", visit_of(*BOTH_OXYGENS), 1),
    ("do-drops", "drops-not-multiplied", 9.0, "Is it the number of drops?",
        one("dissolved_oxygen", 18.0, "oxygen-drop-count", "mg/L", WATER_12), 0),
    ("do-drops", "drops-not-multiplied", 120.0, "it would be 120 mg/L as CaCO3",
        one("alkalinity", 6.0, "alkalinity-drop-count", "mg/L as CaCO3"), 0),
    ("tube-inch", "inches-as-centimetres", 60.0, "it would be more than 60 cm", tube(23.6, TUBE_60), 0),
    ("tube-inch", "inches-as-centimetres", 71.0, "Was it read in inches? Then it would be 71 cm.",
        tube(28.0, TUBE_120, past=NEAR_70_CM, conditions=DRY_WEATHER), 0),
    ("tube-over", "millimetres-as-centimetres", 47.0, "it would be 47 cm", tube(470.0, TUBE_60), 0),
    ("nitrate-basis", "nitrate-as-no3", 4.52, "Does the kit read as nitrate (NO3)? Then it would be 4.52",
        one("nitrate", 20.0, CARD_NO3, AS_N), 0),
    ("nitrate-basis", "nitrate-as-no3", 0.994, "it would be 0.994 mg/L as N",
        one("nitrate", 4.4, None, AS_N, past=NEAR_1_MG, conditions=DRY_WEATHER), 0),
    ("nitrate-basis", "nitrate-as-n", 4.0, "it would be 4 mg/L as N", one("nitrate", 4.0, CARD_N, AS_NO3), 0),
    ("phosphate-basis", "phosphate-as-po4", 0.652, "it would be 0.652 mg/L as P",
        one("phosphate", 2.0, CARD_PO4, AS_P), 0),
    ("zero-not-measured", "zero-not-measured", None, "leave it out", one("ph", 0.0, "ph-meter"), 0),
    ("zero-not-measured", "zero-not-measured", None, "leave it out",
        water(0.0, past=NEAR_12, conditions=WARM_AIR), 0),
    ("zero-not-measured", "zero-not-measured", None, "leave it out",
        one("dissolved_oxygen", 0.0, "oxygen-meter", "mg/L", row("turbidity", 0.0), row("nitrate", 0.0)), 0),
    ("decimal-comma", POINT, 7.4, "it would be 7.4.", one("ph", 7400.0, "ph-meter"), 0),
    ("ph-decimal", POINT, 7.5, "it would be 7.5.", one("ph", 75.0, "ph-comparator-wide"), 0),
    ("ph-decimal", LEFT, 7.5, "it would be 7.5.", one("ph", 0.75, "ph-comparator-wide"), 0),
    ("ph-decimal", POINT, 160.0, "it would be 160 µS/cm",  # the same slip of another parameter
        one("specific_conductance", 1600.0, "conductivity-meter", "uS/cm", past=NEAR_160_US), 0),
    ("cond-ms", "millisiemens-as-microsiemens", 450.0, "it would be 450 µS/cm",
        one("specific_conductance", 0.45, "conductivity-meter", "uS/cm"), 0),
    ("cond-ms", "microsiemens-as-millisiemens", 450.0, "it would be 450 µS/cm",
        one("specific_conductance", 450.0, "conductivity-meter", "mS/cm"), 0),
    ("pressure-unit", "pressure-unit", 1013.0, "in inHg? Then it would be 1013 hPa.", air(29.9, "hPa"), 0),
    ("pressure-unit", "pressure-unit", 999.7, "Was it read in psi?", air(14.5, "hPa"), 0),
    ("pressure-unit", "pressure-unit", 1000.0, "Was it read in kPa?", air(100.0, "hPa"), 0),
    ("pressure-unit", "pressure-unit", 999.9, "read in mmHg?", air(750.0, "hPa", past=AT_SEA_LEVEL), 0),
    ("pressure-unit", "pressure-unit", 1013.0, "Was it read in hPa?", air(1013.0, "inHg"), 0),
    ("pressure-unit", "pressure-unit", 1013.0, "Was it read in inHg?", air(29.9, "hPa", elevation_m=None), 0),
    ("bact-dilution", "colonies-not-multiplied", 700.0, "For 100 mL it would be 700 CFU/100 mL",
        one("e_coli", 7.0, "e-coli-plate-1ml", COLONIES), 0),
    ("bact-tntc", "too-many-to-count", None, "write > and the highest number of your kit",
        one("e_coli", 999.0, "e-coli-plate-5ml", COLONIES), 0),
]  # fmt: skip


@pytest.mark.parametrize(("mistake", "kind", "would_be", "words", "visit", "position"), NAMED)
def test_a_planted_slip_is_named_with_what_it_would_be(mistake, kind, would_be, words, visit, position):
    slip, finding = named(checked(visit))[position]
    assert (slip.kind, slip.would_be) == (kind, would_be)
    assert words in finding.advice
    assert finding.flag in (Flag.SUSPECT, Flag.FAIL)


@pytest.mark.parametrize(("mistake", "kind", "would_be", "words", "visit", "position"), NAMED)
def test_naming_changes_no_flag(mistake, kind, would_be, words, visit, position):
    with_slips, without = checked(visit), assess(visit, CHECKS, limits_for)
    assert with_slips.flag is without.flag
    for reading, before in zip(with_slips.readings, without.readings, strict=True):
        flags = [(result.check, result.finding.flag, result.finding.message) for result in reading.results]
        assert flags == [(one.check, one.finding.flag, one.finding.message) for one in before.results]


def test_every_slip_of_the_table_is_planted_here_or_as_a_date():
    planted = {(mistake, kind) for mistake, kind, *_ in NAMED} | {("date-dm", "day-and-month-exchanged")}
    table = {(mistake, row["name"]) for mistake, row in handled_by().items() if row["handled_by"] == "slip"}
    assert table <= planted
    assert {mistake for mistake, _ in table} == {mistake for mistake, _ in planted}
