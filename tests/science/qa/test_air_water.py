import pytest

from service.science.flags import Flag
from service.science.qa.checks import air_water
from tests.science.kits import THERMOMETER_F, THERMOMETER_WITHIN_1, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with

LIMITS = limits_for("air-water", "water_temperature")


def finding(water, air_c=None):
    conditions = {} if air_c is None else {"air_temperature_c": air_c}
    return air_water.run(water, visit_with(water, conditions=conditions), LIMITS)


def water_of(value, **about):
    return read("water_temperature", value, **about)


@pytest.mark.parametrize(
    ("water_c", "air_c", "flag"),
    [
        # common practice: more than 10 degC above the air
        (24.0, 8.0, 3),  # K8
        (18.1, 8.0, 3),
        (18.0, 8.0, 1),
        (8.0, 24.0, 1),  # cold water on a warm day is every spring
        (2.0, -8.5, 3),
        (1.0, -9.0, 1),
    ],
)
def test_water_above_air(water_c, air_c, flag):
    assert finding(water_of(water_c), air_c).flag == flag


def test_what_the_thermometer_leaves_open_must_be_out_too():
    # within 1 degC: 19 leaves 18 open, which is 10 above the air; 19.5 leaves only 18.5 and more
    assert finding(water_of(19.0, kit=THERMOMETER_WITHIN_1), 8.0).flag is Flag.PASS
    assert finding(water_of(19.5, kit=THERMOMETER_WITHIN_1), 8.0).flag is Flag.SUSPECT


@pytest.mark.parametrize(("mark", "flag"), [("<", 1), (">", 3)])
def test_of_a_censored_reading_only_the_certain_side_counts(mark, flag):
    assert finding(water_of(24.0, censored=mark), 8.0).flag == flag


def test_it_says_that_frost_can_do_it():
    found = finding(water_of(24.0), 8.0)
    assert found.message == "Water of 24 °C is 16 °C warmer than the air of 8 °C. More than 10 °C is rare."
    assert "frost" in found.advice
    assert found.evidence["water_above_air_c"] == 16.0


@pytest.mark.parametrize(
    ("water_c", "air_c", "asked"), [(12.5, 12.5, True), (12.0, 12.0, False), (12.5, 12.4, False)]
)
def test_the_same_number_to_a_decimal_passes_with_a_question(water_c, air_c, asked):
    found = finding(water_of(water_c), air_c)
    assert found.flag is Flag.PASS
    assert ("Copied?" in found.message, bool(found.advice)) == (asked, asked)


def test_a_limit_is_never_called_a_copy():
    assert finding(water_of(12.5, censored="<"), 12.5).message == ""


def test_fahrenheit_is_compared_as_celsius_and_told_as_written():
    # 75.2 degF is 24 degC by definition of the scales; a step of 1 degF leaves 23.7 degC and more
    found = finding(water_of(75.2, unit="degF", kit=THERMOMETER_F), 8.0)
    assert found.flag is Flag.SUSPECT
    assert found.message.startswith("Water of 75.2 °F is 16 °C warmer")


def test_without_an_air_temperature_it_is_not_evaluated_and_says_what_to_note():
    found = finding(water_of(24.0))
    assert found.flag is Flag.NOT_EVALUATED
    assert "air temperature" in found.message
    assert found.advice.startswith("Next time take the air temperature")
