from dataclasses import replace

import pytest

from service.science.flags import Flag
from service.science.qa.checks import dry_stream, oxygen_ph
from service.science.qa.engine import assess
from tests.science.kits import read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with


def finding(reading, flow=None):
    conditions = {} if flow is None else {"flow": flow}
    return dry_stream.run(reading, visit_with(reading, conditions=conditions), {})


@pytest.mark.parametrize(
    ("parameter", "value"),
    # K15 and common practice: where there is no water there is no reading
    [("ph", 7.5), ("water_temperature", 0.0), ("transparency", 60.0), ("nitrate", 0.0), ("e_coli", 200.0)],
)
def test_a_reading_from_a_dry_stream_fails(parameter, value):
    assert finding(read(parameter, value), "dry").flag is Flag.FAIL


@pytest.mark.parametrize("flow", ["low", "normal", "high", "flood"])
def test_any_water_will_do(flow):
    assert finding(read("ph", 7.5), flow).flag is Flag.PASS


def test_the_air_has_a_pressure_over_a_dry_bed_too():
    assert finding(read("barometric_pressure", 1010.0), "dry").flag is Flag.PASS


@pytest.mark.parametrize("parameter", ["water_depth", "current_velocity", "discharge"])
@pytest.mark.parametrize(("value", "mark", "flag"), [(0.0, None, 1), (0.01, "<", 1), (0.3, None, 4)])
def test_none_of_it_says_the_same_as_dry(parameter, value, mark, flag):
    reading = replace(read("transparency", value, censored=mark), parameter=parameter)
    assert finding(reading, "dry").flag == flag


def test_without_a_flow_it_stays_out_of_the_way():
    assert finding(read("ph", 7.5)) is None


def test_a_failed_reading_is_kept_from_the_later_checks():
    visit = visit_with(read("ph", 7.5), conditions={"flow": "dry"})
    (answer,) = assess(visit, [dry_stream.CHECK, oxygen_ph.CHECK], limits_for).readings
    assert [result.finding.flag for result in answer.results] == [Flag.FAIL, Flag.NOT_EVALUATED]


def test_the_message_names_what_was_sent():
    found = finding(read("water_temperature", 11.5), "dry")
    assert found.message.startswith("Water temperature 11.5 °C was sent, but the stream was noted as dry")
    assert "take water temperature 11.5 °C out" in found.advice
    assert finding(read("ph", 7.5), "dry").message.startswith("pH 7.5 was sent")
