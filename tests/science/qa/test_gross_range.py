import pytest

from service.science.flags import Flag
from service.science.qa.checks import gross_range
from service.science.qa.engine import assess
from tests.science.kits import NITRATE_CARD, OXYGEN_TABLETS, TUBE_60, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with


def finding(reading, limits=None):
    limits = limits or limits_for("gross-range", reading.parameter)
    return gross_range.run(reading, visit_with(reading), limits)


@pytest.mark.parametrize(
    ("parameter", "value", "unit", "flag"),
    [
        # spans: common practice of the trade; K9 and K14 are consistency cases worked by hand
        ("water_temperature", -2.0, None, 4),  # K14: below freezing of fresh water by more than 1
        ("water_temperature", -1.0, None, 1),
        ("water_temperature", 35.0, None, 1),
        ("water_temperature", 35.5, None, 3),
        ("water_temperature", 40.0, None, 3),
        ("water_temperature", 54.0, None, 4),  # K9: degrees Fahrenheit without saying so
        ("water_temperature", 54.0, "degF", 1),
        ("ph", 3.9, None, 3),
        ("ph", 4.0, None, 1),
        ("ph", 10.0, None, 1),
        ("ph", 10.1, None, 3),
        ("ph", 14.0, None, 3),
        ("ph", 70.0, None, 4),
        ("ph", -0.1, None, 4),
        ("dissolved_oxygen", 96.5, None, 4),  # percent in the box for mg/L
        ("dissolved_oxygen", 15.5, None, 3),
        ("dissolved_oxygen", 1.9, None, 3),
        ("dissolved_oxygen", 8.0, None, 1),
        ("dissolved_oxygen", -1.0, None, 4),
        ("transparency", 0.0, None, 4),
        ("transparency", 12.0, None, 1),
        ("specific_conductance", 0.5, "mS/cm", 1),
        ("specific_conductance", 0.5, "uS/cm", 3),
        ("nitrate", 44.3, "mg/L as NO3", 1),
        ("nitrate", 44.3, "mg/L as N", 3),
        ("e_coli", 2e7, None, 4),
        ("barometric_pressure", 1.0, "atm", 1),
        ("barometric_pressure", 30.0, "hPa", 4),  # inches of mercury without saying so
    ],
)
def test_spans(parameter, value, unit, flag):
    assert finding(read(parameter, value, unit=unit)).flag == flag


@pytest.mark.parametrize(
    ("value", "flag"), [(-1.0, 4), (0.0, 3), (0.5, 1), (12.0, 1), (30.0, 1), (30.5, 3), (40.0, 3), (40.5, 4)]
)
def test_limits_are_inclusive(value, flag):
    # computed with ioos_qc 3.0.0, gross_range_test, fail span 0..40, suspect span 0.5..30
    limits = {"fail_low": 0.0, "fail_high": 40.0, "suspect_low": 0.5, "suspect_high": 30.0}
    assert finding(read("water_temperature", value), limits).flag == flag


@pytest.mark.parametrize(
    ("parameter", "value", "mark", "flag"),
    [
        # worked by hand: "<" is certain only below its limit, ">" only above it
        ("dissolved_oxygen", 4.0, "<", 1),  # may be 3.5
        ("dissolved_oxygen", 2.0, "<", 3),  # certainly under 2
        ("dissolved_oxygen", 0.0, "<", 4),  # less than nothing
        ("dissolved_oxygen", 12.0, ">", 1),  # may be 13
        ("dissolved_oxygen", 15.0, ">", 3),
        ("dissolved_oxygen", 25.0, ">", 4),
        ("dissolved_oxygen", 1.0, ">", 1),
        ("dissolved_oxygen", 90.0, "<", 1),
        ("transparency", 120.0, ">", 1),
    ],
)
def test_only_the_certain_side_of_a_censored_reading_counts(parameter, value, mark, flag):
    assert finding(read(parameter, value, censored=mark)).flag == flag


@pytest.mark.parametrize(
    ("parameter", "kit", "value"),
    [
        ("dissolved_oxygen", OXYGEN_TABLETS, 0.0),
        ("nitrate", NITRATE_CARD, 0.0),
        ("transparency", TUBE_60, 60.0),
    ],
)
def test_what_the_kit_cannot_show_is_not_taken_at_face_value(parameter, kit, value):
    assert finding(read(parameter, value, kit=kit)).flag is Flag.PASS


def test_the_message_says_what_was_written_and_what_is_possible():
    found = finding(read("water_temperature", 130.0, unit="degF"))
    assert found.message == (
        "Water temperature 130 °F is not possible in a stream: the possible range is -1 to 40 °C."
    )
    assert found.advice
    assert found.evidence["value"] == pytest.approx(54.444, abs=1e-3)


def test_a_suspect_number_may_be_real_and_is_kept():
    found = finding(read("ph", 3.5))
    assert found.message == "pH 3.5 is rare in a stream: readings are nearly always 4 to 10."
    assert "keep it" in found.advice


def test_a_parameter_without_limits_is_not_evaluated():
    reading = read("ph", 7.0)
    (assessed,) = assess(visit_with(reading), [gross_range.CHECK], lambda *_: {}).readings
    assert assessed.flag is Flag.NOT_EVALUATED
