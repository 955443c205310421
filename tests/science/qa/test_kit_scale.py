import pytest

from service.science.flags import Flag
from service.science.kit_reading import interpret
from service.science.qa.checks import kit_scale
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
    TRAY,
    TUBE_60,
    TUBE_120,
    read,
)
from tests.science.qa.limits import CATALOGUE
from tests.science.qa.visits import visit_with


def finding(parameter, kit, value, unit=None, censored=None):
    unit = unit or (kit.unit if kit else None)
    reading = read(parameter, value, kit=kit, unit=unit, censored=censored)
    return kit_scale.run(reading, visit_with(reading), {})


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "flag"),
    [
        # scales of the kits: common practice of the trade
        ("ph", PH_HALF, 7.5, 1),
        ("ph", PH_HALF, 7.2, 4),
        ("ph", PH_WHOLE, 75.0, 4),
        ("ph", PH_WHOLE, 0.0, 4),
        ("dissolved_oxygen", OXYGEN_TABLETS, 4.0, 1),
        ("dissolved_oxygen", OXYGEN_TABLETS, 8.0, 1),
        ("dissolved_oxygen", OXYGEN_TABLETS, 7.0, 4),
        ("dissolved_oxygen", OXYGEN_TABLETS, 12.0, 4),
        ("dissolved_oxygen", OXYGEN_TABLETS, -4.0, 4),
        ("nitrate", NITRATE_CARD, 0.25, 1),
        ("nitrate", NITRATE_CARD, 0.1, 4),  # a decimal slip of 1
        # whole drops and whole colonies
        ("dissolved_oxygen", OXYGEN_DROPS, 9.5, 1),
        ("dissolved_oxygen", OXYGEN_DROPS, 9.3, 4),
        ("alkalinity", ALKALINITY_DROPS, 51.3, 1),  # 3 drops of 17.1
        ("alkalinity", ALKALINITY_DROPS, 50.0, 4),
        ("e_coli", PLATE_1ML, 300.0, 1),
        ("e_coli", PLATE_1ML, 3.0, 4),  # colonies not scaled to 100 mL
        # between the lines of a scale
        ("water_temperature", THERMOMETER, 15.5, 1),
        ("water_temperature", THERMOMETER, 15.2, 3),
        ("water_temperature", THERMOMETER, -5.0, 1),
        ("water_temperature", THERMOMETER, 54.0, 4),
        ("dissolved_oxygen", OXYGEN_METER, 8.3, 1),
        ("dissolved_oxygen", OXYGEN_METER, 8.35, 3),
        ("dissolved_oxygen", OXYGEN_METER, 0.0, 1),
        ("dissolved_oxygen", OXYGEN_TITRATOR, 7.3, 3),
        ("dissolved_oxygen", OXYGEN_TITRATOR, 9.6, 1),
        ("transparency", TUBE_60, 34.5, 3),
        ("transparency", TUBE_60, 70.0, 4),
        # a limit that was understood
        ("dissolved_oxygen", OXYGEN_TABLETS, 0.0, 1),
        ("nitrate", NITRATE_CARD, 0.0, 1),
        ("transparency", TUBE_60, 60.0, 1),
    ],
)
def test_numbers_on_and_off_the_scale(parameter, kit, value, flag):
    assert finding(parameter, kit, value).flag == flag


@pytest.mark.parametrize("tenths", range(201))
def test_no_tenth_of_a_meter_falls_off_its_scale_by_rounding(tenths):
    # tenths as decimal fractions, the way JSON brings them: 0.3, not 3 x 0.1
    assert finding("dissolved_oxygen", OXYGEN_METER, float(f"{tenths / 10:.1f}")).flag is Flag.PASS


@pytest.mark.parametrize(
    ("kit", "mark", "value", "flag"),
    [
        # worked by hand: beyond what the kit can tell 4, less than it can tell 3
        (OXYGEN_TABLETS, "<", 4.0, 1),
        (OXYGEN_TABLETS, "<", 1.0, 4),
        (OXYGEN_TABLETS, "<", 8.0, 3),
        (OXYGEN_TABLETS, ">", 8.0, 1),
        (OXYGEN_TABLETS, ">", 12.0, 4),
        (OXYGEN_TABLETS, ">", 4.0, 3),
        (OXYGEN_DROPS, "<", 0.5, 1),
        (OXYGEN_DROPS, "<", 0.2, 4),
    ],
)
def test_limits_name_the_ends_of_the_kit(kit, mark, value, flag):
    assert finding("dissolved_oxygen", kit, value, censored=mark).flag == flag


def test_more_than_a_short_fill_of_a_long_tube_is_suspect():
    found = finding("transparency", TUBE_120, 60.0, censored=">")
    assert found.flag is Flag.SUSPECT
    assert found.message == (
        "> 60 cm was written, but the highest value of your kit is 120 cm: it can tell more than that."
    )


def test_without_a_kit_it_is_not_evaluated():
    found = finding("ph", None, 7.0)
    assert found.flag is Flag.NOT_EVALUATED
    assert found.advice == "Name the kit that you read it with."


def test_a_kit_for_something_else_fails():
    found = finding("ph", OXYGEN_TABLETS, 7.0, unit="std units")
    assert found.flag is Flag.FAIL
    assert found.message == "pH cannot be read with this kit (oxygen tablets): it measures dissolved oxygen."


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "unit", "message"),
    [
        (
            "dissolved_oxygen",
            OXYGEN_TABLETS,
            7.0,
            "mg/L",
            "Your kit shows 0, 4 or 8 mg/L; 7 mg/L is between the marks.",
        ),
        ("ph", PH_HALF, 7.2, None, "Your kit shows 3 to 10.5; 7.2 is between the marks 7 and 7.5."),
        (
            "dissolved_oxygen",
            OXYGEN_DROPS,
            54.0,
            "mg/L",
            "Your kit shows 0.5 to 20 mg/L in steps of 0.5; 54 mg/L is above it.",
        ),
        (
            "dissolved_oxygen",
            OXYGEN_TABLETS,
            0.0,
            "mg/L",
            "0 on this kit means less than 4 mg/L: it is kept like that.",
        ),
        (
            "transparency",
            TUBE_60,
            60.0,
            "cm",
            "The tube was full and the disk still in sight: taken as more than 60 cm.",
        ),
        (
            "nitrate",
            NITRATE_TABLETS,
            5.0,
            "mg/L as N",
            "Your kit shows 5, 20 or 40 mg/L as NO3; 5 mg/L as N (22.13 mg/L as NO3) is not on it. "
            "5 mg/L as NO3 would be.",
        ),
        (
            "water_temperature",
            THERMOMETER,
            53.0,
            "degF",
            "Your kit shows -5 to 45 °C in steps of 0.5; 53 °F (11.67 °C) is finer than that.",
        ),
        (
            "transparency",
            TUBE_60,
            12.0,
            "in",
            "Your kit shows 1 to 60 cm in steps of 1; 12 in (30.48 cm) is finer than that.",
        ),
    ],
)
def test_messages_name_the_scale_and_the_number(parameter, kit, value, unit, message):
    assert finding(parameter, kit, value, unit).message == message


@pytest.mark.parametrize(
    ("parameter", "kit", "value", "unit", "advice"),
    [
        ("dissolved_oxygen", OXYGEN_TABLETS, 7.0, "mg/L", "Write the mark whose colour matched best."),
        (
            "dissolved_oxygen",
            OXYGEN_TABLETS,
            8.0,
            "mg/L",
            "If the colour went beyond the last mark, write > 8 mg/L instead.",
        ),
        (
            "nitrate",
            NITRATE_TABLETS,
            5.0,
            "mg/L as N",
            "Look at the kit: if it says mg/L as NO3, send 5 with that unit.",
        ),
        (
            "e_coli",
            PLATE_1ML,
            3.0,
            "CFU/100 mL",
            "Read it again and look at the decimal point and the unit. One colony stands for 100 CFU/100 mL: "
            "did you multiply? If less than the lowest value showed, write < 100 CFU/100 mL.",
        ),
        (
            "dissolved_oxygen",
            OXYGEN_DROPS,
            9.3,
            "mg/L",
            "Work the number out again and look at the decimal point. One drop stands for 0.5 mg/L: "
            "did you multiply?",
        ),
        (
            "transparency",
            TUBE_60,
            70.0,
            "cm",
            "Read it again and look at the decimal point and the unit. "
            "If it went beyond the end of the scale, write > 60 cm.",
        ),
    ],
)
def test_advice_says_what_to_do_now(parameter, kit, value, unit, advice):
    assert finding(parameter, kit, value, unit).advice == advice


def test_a_number_in_another_unit_that_falls_on_a_mark_passes():
    # 20 mg/L as NO3 written as 4.51810... mg/L as N (IUPAC 2021), with all its digits
    assert finding("nitrate", NITRATE_TABLETS, 4.518098915, "mg/L as N").flag is Flag.PASS


def numbers_on(kit):
    """The numbers of a scale, written as decimals: its marks, or its lines counted from the lower end."""
    if kit.marks:
        return [mark for mark in kit.marks if mark > 0]
    lines = round((kit.upper - kit.lower) / kit.step)
    return [float(f"{kit.lower + line * kit.step:.3f}") for line in range(0, lines + 1, max(1, lines // 50))]


@pytest.mark.parametrize("kit", CATALOGUE.kits.values(), ids=lambda kit: kit.code)
def test_every_number_on_the_scale_of_every_real_kit_passes(kit):
    parameter = CATALOGUE.parameters[kit.parameter]
    for value in numbers_on(kit):
        reading = interpret(0, parameter, kit, value, kit.unit, censored=None, procedure={})
        assert kit_scale.run(reading, visit_with(reading), {}).flag is Flag.PASS, value
        assert reading.low <= reading.value <= reading.high


@pytest.mark.parametrize("kit", CATALOGUE.kits.values(), ids=lambda kit: kit.code)
def test_ten_times_the_top_of_every_real_kit_fails(kit):
    parameter = CATALOGUE.parameters[kit.parameter]
    reading = interpret(0, parameter, kit, kit.upper * 10, kit.unit, censored=None, procedure={})
    assert kit_scale.run(reading, visit_with(reading), {}).flag is Flag.FAIL


@pytest.mark.parametrize(
    ("value", "censored", "flag"),
    [
        # tables of one tray print 2419.2, 2419.17 and 2419.6 for every well positive (common practice)
        (2419.6, None, 1),
        (2419.17, None, 1),
        (2419.2, ">", 1),
        (2300.0, ">", 3),
        (2500.0, ">", 4),
        (2500.0, None, 4),
        (64.4, None, 1),
        (1, "<", 1),
    ],
)
def test_a_tray_has_a_table_and_no_steps(value, censored, flag):
    assert finding("e_coli", TRAY, value, censored=censored).flag == flag


@pytest.mark.parametrize(
    ("kit", "value", "words"),
    [(TRAY, 2419.6, "Every well was positive"), (PLATE_1ML, 20000, "More colonies than the plate can tell")],
)
def test_the_top_of_a_count_is_told_as_more_than(kit, value, words):
    found = finding("e_coli", kit, value)
    assert found.flag is Flag.PASS
    assert found.message.startswith(words)
    assert "taken as more than" in found.message
