from dataclasses import replace

import pytest

from service.science.flags import Flag
from service.science.qa.checks import replicates
from service.science.types import Kit
from tests.science.check_table import rows
from tests.science.kits import (
    ALKALINITY_DROPS,
    NITRATE_CARD,
    NITRATE_TABLETS,
    OXYGEN_DROPS,
    OXYGEN_METER,
    OXYGEN_TABLETS,
    OXYGEN_TITRATOR,
    PH_HALF,
    PH_WHOLE,
    PLATE_1ML,
    THERMOMETER,
    TUBE_60,
    TUBE_120,
    TURBIDITY_METER,
    read,
)
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

PH_METER = Kit("ph-meter", "pH meter", "meter", "ph", "std units", 0, 14, step=0.1, accuracy=0.1)
ALKALINITY_TITRATOR = Kit(
    "alkalinity-titrator",
    "alkalinity by titrator",
    "titrator",
    "alkalinity",
    "mg/L as CaCO3",
    4,
    200,
    step=4,
    accuracy=4,
    reads_zero=False,
)
FINE_TITRATOR = replace(OXYGEN_TITRATOR, accuracy=None)
CONDUCTIVITY_METER = Kit(
    "conductivity-meter", "meter", "meter", "specific_conductance", "uS/cm", 0, 2000, step=10
)


def findings(kit, *written):
    """Return the findings of repeats; a value may carry its "<" or ">"."""
    values = [value if isinstance(value, tuple) else (value, None) for value in written]
    readings = [
        read(kit.parameter, value, kit.unit, kit, mark, position=position)
        for position, (value, mark) in enumerate(values)
    ]
    return of_visit(*readings)


def of_visit(*readings):
    visit = visit_with(*readings)
    return [
        replicates.run(reading, visit, limits_for("replicates", reading.parameter)) for reading in readings
    ]


def flags(kit, *written):
    return [int(found.flag) for found in findings(kit, *written)]


@pytest.mark.parametrize(
    ("kit", "first", "second", "flag"),
    [
        # marks and even steps: at most one step apart (common practice)
        (PH_WHOLE, 7, 8, 1),
        (PH_WHOLE, 7, 9, 3),
        (PH_HALF, 7.0, 7.5, 1),
        (PH_HALF, 7.0, 8.0, 3),
        (OXYGEN_TABLETS, 4, 8, 1),
        (NITRATE_TABLETS, 5, 20, 1),
        (NITRATE_TABLETS, 5, 40, 3),
        (NITRATE_CARD, 0.25, 0.5, 1),
        (NITRATE_CARD, 0.25, 1, 3),
        (ALKALINITY_DROPS, 102.6, 119.7, 1),
        (ALKALINITY_DROPS, 102.6, 136.8, 3),
        (THERMOMETER, 12.0, 12.5, 1),
        (THERMOMETER, 12.0, 13.0, 3),
        # two titrations of oxygen within 0.6 mg/L, though one drop is 0.5 (common practice)
        (OXYGEN_DROPS, 8.0, 8.5, 1),
        (OXYGEN_DROPS, 8.0, 9.0, 3),
        (FINE_TITRATOR, 2.0, 2.6, 1),
        (FINE_TITRATOR, 2.0, 2.62, 3),
        # titrations: 20 % of their mean, 9.0 and 11.0 differ by just that (common practice)
        (OXYGEN_TITRATOR, 9.0, 11.0, 1),
        (OXYGEN_TITRATOR, 9.0, 11.2, 3),
        (ALKALINITY_TITRATOR, 80, 96, 1),
        (ALKALINITY_TITRATOR, 80, 100, 3),
        (ALKALINITY_TITRATOR, 8, 16, 1),  # 67 %, but the plunger is good to 4 only
        (ALKALINITY_TITRATOR, 8, 20, 3),
        # meters: 10 % of their mean, 9.5 and 10.5 differ by just that (common practice)
        (OXYGEN_METER, 9.5, 10.5, 1),
        (OXYGEN_METER, 9.5, 10.52, 3),
        (CONDUCTIVITY_METER, 190, 210, 1),
        (CONDUCTIVITY_METER, 190, 220, 3),
        (CONDUCTIVITY_METER, 10, 20, 1),  # 67 %, but one step
        # pH within 0.5, of which no share is taken: 7.0 and 7.6 are 8 % apart (common practice)
        (PH_METER, 7.0, 7.5, 1),
        (PH_METER, 7.0, 7.52, 3),
        (PH_METER, 7.0, 7.6, 3),
        # tubes: 10 % or 2 cm (common practice); the longer one here is read to 2 cm on either side
        (TUBE_60, 8, 10, 1),
        (TUBE_60, 8, 10.08, 3),
        (TUBE_60, 38, 42, 1),
        (TUBE_60, 46, 51, 3),
        (TUBE_120, 8, 12, 1),
        (TUBE_120, 8, 13, 3),
        # turbidity: 1 NTU, or a factor of 4 (own; quadrats of one reach in a public file)
        (TURBIDITY_METER, 0.2, 1.2, 1),
        (TURBIDITY_METER, 0.2, 1.22, 3),
        (TURBIDITY_METER, 5, 20, 1),
        (TURBIDITY_METER, 5, 20.5, 3),
    ],
)
def test_two_repeats(kit, first, second, flag):
    assert flags(kit, first, second) == [flag, flag]


@pytest.mark.parametrize(
    ("kit", "first", "second", "flag"),
    [
        # with "<" or ">" they agree when the intervals overlap
        (NITRATE_CARD, (0.25, "<"), 0.25, 1),
        (NITRATE_CARD, (0.25, "<"), 0.5, 3),
        (NITRATE_CARD, (0.25, "<"), (0.25, "<"), 1),
        (NITRATE_CARD, 0, 0.5, 3),  # 0 on this card means "< 0.25"
        (NITRATE_CARD, (10, ">"), (0.25, "<"), 3),
        (TUBE_60, (60, ">"), (60, ">"), 1),
        (TUBE_60, (60, ">"), 55, 1),  # 5 cm at least, which is within 10 %
        (TUBE_60, (60, ">"), 50, 3),
        (OXYGEN_TABLETS, (4, "<"), 4, 1),
        (OXYGEN_TABLETS, (4, "<"), 8, 3),
    ],
)
def test_censored_repeats(kit, first, second, flag):
    assert flags(kit, first, second) == [flag, flag]
    assert all(found.evidence["difference_percent"] is None for found in findings(kit, first, second))


def test_an_open_end_is_no_number_in_the_evidence():
    found, _ = findings(TUBE_60, (60, ">"), (60, ">"))
    assert found.evidence["allowed_difference"] is None


@pytest.mark.parametrize(
    ("first", "second", "flag"),
    # the variance of a difference of two Poisson counts is their sum: 3 standard deviations of it
    [
        (100, 300, 1),
        ((100, "<"), 900, 1),
        ((100, "<"), 1000, 3),
        (1000, 2800, 1),
        (1000, 2900, 3),
        ((20000, ">"), 15000, 1),
        ((20000, ">"), 14000, 3),
        ((20000, ">"), (20000, ">"), 1),
        ((100, "<"), (100, "<"), 1),
        (0, 0, 1),
    ],
)
def test_plates_differ_by_chance(first, second, flag):
    assert flags(PLATE_1ML, first, second) == [flag, flag]


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ((7, 7, 9), [1, 1, 3]),
        ((7, 9, 9), [3, 1, 1]),
        ((7, 8, 9), [1, 1, 1]),  # the middle one agrees with both
        ((5, 7, 9), [3, 3, 3]),
        ((7, 7, 9, 9), [3, 3, 3, 3]),
    ],
)
def test_a_third_reading_decides(values, expected):
    assert flags(PH_WHOLE, *values) == expected


@pytest.mark.parametrize("row", rows("precision_duplicates"))
def test_the_relative_difference_is_in_the_evidence(row):
    for found in findings(OXYGEN_TITRATOR, float(row["first"]), float(row["second"])):
        percent, tolerance = float(row["rpd_percent"]), float(row["tolerance"])
        assert found.evidence["difference_percent"] == pytest.approx(percent, abs=tolerance)
        assert found.flag is Flag.PASS


@pytest.mark.parametrize(("kit", "values"), [(PH_METER, (7.0, 8.0)), (THERMOMETER, (-1.0, 1.0))])
def test_no_share_is_taken_of_what_has_no_natural_zero(kit, values):
    found, _ = findings(kit, *values)
    assert found.evidence["difference_percent"] is None


def test_two_kits_are_a_comparison_of_kits():
    first = read("ph", 6.0, kit=PH_WHOLE, position=0)
    second = read("ph", 9.0, kit=PH_HALF, position=1)
    for found in of_visit(first, second):
        assert found.flag is Flag.NOT_EVALUATED
        assert "another kit" in found.message


def test_other_parameters_and_the_reading_itself_are_no_repeats():
    (found, _) = of_visit(read("ph", 7, kit=PH_WHOLE), read("water_temperature", 12, position=1))
    assert found is None


def test_without_a_kit_nobody_can_tell():
    for found in of_visit(read("ph", 6.0), read("ph", 9.0, position=1)):
        assert found.flag is Flag.NOT_EVALUATED
        assert found.advice.startswith("Name the kit")


@pytest.mark.parametrize("parameter", ["water_depth", "current_velocity"])
def test_what_varies_from_spot_to_spot_is_not_judged(parameter):
    near, far = (
        replace(read("ph", value, kit=PH_WHOLE, position=n), parameter=parameter)
        for n, value in enumerate((5, 9))
    )
    assert list(of_visit(near, far)) == [None, None]


def test_the_message_names_both_and_how_near_they_should_be():
    found, _ = findings(OXYGEN_TITRATOR, 8.0, 10.0)
    assert found.message == (
        "Dissolved oxygen 8 mg/L and 10 mg/L of the same visit are far apart: repeats with this kit (oxygen "
        "titrator) agree within 1.8 mg/L."
    )
    assert "nearer 8 mg/L or 10 mg/L?" in found.advice
    assert "Two spots of a stream can truly differ" in found.advice


def test_a_card_is_told_in_its_own_unit():
    # 5 and 40 mg/L as NO3: the card leaves 12.5 and 30 open, so 17.5 between them would do
    found, _ = findings(NITRATE_TABLETS, 5, 40)
    assert "agree within 17.5 mg/L as NO3" in found.message


def test_plates_are_told_without_a_number_that_chance_has_not():
    found, _ = findings(PLATE_1ML, 1000, 2900)
    assert found.message == (
        "E. coli 1000 CFU/100 mL and 2900 CFU/100 mL of the same visit differ by more than chance does on "
        "two plates of the same water."
    )
