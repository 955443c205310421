import pytest

from service.science.flags import Flag
from service.science.qa.check import ReadingCheck, Stage, VisitCheck
from service.science.qa.engine import assess
from service.science.qa.registry import CHECKS
from service.science.types import Finding
from tests.science.kits import OXYGEN_TITRATOR, PH_WHOLE, THERMOMETER, read
from tests.science.qa.limits import limits_for
from tests.science.qa.visits import visit_with


def always(flag, id_="rule", stage=Stage.SCALE, parameters=(), needs=()):
    return ReadingCheck(id_, 1, stage, lambda *_: Finding(flag), tuple(needs), frozenset(parameters))


def seen_by(stage):
    """A check that tells which readings its stage is shown."""

    def run(reading, visit, limits):
        return Finding(Flag.PASS, ",".join(other.parameter for other in visit.readings))

    return ReadingCheck("seen", 1, stage, run)


def no_limits(check, parameter):
    return {}


def flags_of(assessed):
    return [(result.check, result.finding.flag) for result in assessed.results]


TEMPERATURE = read("water_temperature", 12.0, position=0)
OXYGEN = read("dissolved_oxygen", 9.0, position=1)


def test_a_check_answers_only_for_its_parameters():
    checks = [always(Flag.PASS, parameters=["dissolved_oxygen"])]
    temperature, oxygen = assess(visit_with(TEMPERATURE, OXYGEN), checks, no_limits).readings
    assert (temperature.results, temperature.flag) == ((), Flag.NOT_EVALUATED)
    assert flags_of(oxygen) == [("rule", Flag.PASS)]


def test_a_failed_reading_is_hidden_from_later_stages_and_says_why():
    fails = always(Flag.FAIL, "breaks", parameters=["water_temperature"])
    later = seen_by(Stage.STATISTICS)
    temperature, oxygen = assess(visit_with(TEMPERATURE, OXYGEN), [fails, later], no_limits).readings
    assert oxygen.results[0].finding.message == "dissolved_oxygen"
    assert flags_of(temperature) == [("breaks", Flag.FAIL), ("seen", Flag.NOT_EVALUATED)]
    assert "(breaks)" in temperature.results[1].finding.message
    assert temperature.flag is Flag.FAIL


def test_a_failed_reading_is_still_seen_within_its_own_stage():
    checks = [always(Flag.FAIL, "breaks", parameters=["water_temperature"]), seen_by(Stage.SCALE)]
    _, oxygen = assess(visit_with(TEMPERATURE, OXYGEN), checks, no_limits).readings
    assert oxygen.results[0].finding.message == "water_temperature,dissolved_oxygen"


def test_a_failed_reading_is_still_judged_by_the_rest_of_its_stage():
    checks = [always(Flag.FAIL, "breaks"), always(Flag.PASS, "second")]
    (assessed,) = assess(visit_with(OXYGEN), checks, no_limits).readings
    assert flags_of(assessed) == [("breaks", Flag.FAIL), ("second", Flag.PASS)]


def test_a_suspect_reading_stays_in_sight():
    checks = [always(Flag.SUSPECT, parameters=["water_temperature"]), seen_by(Stage.STATISTICS)]
    temperature, _ = assess(visit_with(TEMPERATURE, OXYGEN), checks, no_limits).readings
    assert flags_of(temperature) == [("rule", Flag.SUSPECT), ("seen", Flag.PASS)]
    assert temperature.flag is Flag.SUSPECT


def test_stages_run_in_their_order_whatever_the_order_of_the_checks():
    checks = [always(Flag.PASS, "last", Stage.STATISTICS), always(Flag.PASS, "first", Stage.SCALE)]
    (assessed,) = assess(visit_with(OXYGEN), checks, no_limits).readings
    assert [result.check for result in assessed.results] == ["first", "last"]


def test_one_failed_replicate_does_not_hide_the_other():
    def fails_above_20(reading, visit, limits):
        return Finding(Flag.FAIL if reading.value > 20 else Flag.PASS)

    again = read("water_temperature", 75.0, position=1)
    checks = [
        ReadingCheck("warm", 1, Stage.SCALE, fails_above_20),
        always(Flag.PASS, "later", Stage.STATISTICS),
    ]
    first, second = assess(visit_with(TEMPERATURE, again), checks, no_limits).readings
    assert flags_of(first)[1] == ("later", Flag.PASS)
    assert flags_of(second)[1] == ("later", Flag.NOT_EVALUATED)


def test_missing_limits_are_not_evaluated_and_never_a_pass():
    checks = [always(Flag.PASS, needs=["fail_low", "fail_high"])]
    (assessed,) = assess(visit_with(OXYGEN), checks, lambda *_: {"fail_low": 0.0}).readings
    assert assessed.flag is Flag.NOT_EVALUATED
    assert assessed.results[0].finding.evidence == {"missing_limits": "fail_high"}
    assert "dissolved oxygen" in assessed.results[0].finding.message


def test_limits_are_asked_for_by_check_and_parameter():
    asked = []

    def limits(check, parameter):
        asked.append((check, parameter))
        return {}

    whole_visit = VisitCheck("clock", 1, Stage.SCALE, lambda *_: Finding(Flag.PASS))
    assess(visit_with(OXYGEN), [always(Flag.PASS), whole_visit], limits)
    assert asked == [("rule", "dissolved_oxygen"), ("clock", "*")]


@pytest.mark.parametrize(
    ("reading_flag", "visit_flag", "expected"),
    [
        (Flag.PASS, Flag.FAIL, Flag.FAIL),
        (Flag.SUSPECT, Flag.PASS, Flag.SUSPECT),
        (Flag.PASS, Flag.NOT_EVALUATED, Flag.PASS),
        (Flag.NOT_EVALUATED, Flag.NOT_EVALUATED, Flag.NOT_EVALUATED),
    ],
)
def test_the_flag_of_the_visit_is_the_worst_of_all(reading_flag, visit_flag, expected):
    whole_visit = VisitCheck("clock", 1, Stage.CONTRADICTION, lambda *_: Finding(visit_flag))
    assessment = assess(visit_with(OXYGEN), [always(reading_flag), whole_visit], no_limits)
    assert assessment.visit_results[0].finding.flag is visit_flag
    assert assessment.flag is expected


def test_a_visit_without_readings_is_checked_as_a_visit():
    assessment = assess(visit_with(), CHECKS, limits_for)
    assert (assessment.readings, assessment.flag) == ((), Flag.PASS)


def test_a_check_on_the_real_list_is_there_once():
    ids = [check.id for check in CHECKS]
    assert len(ids) == len(set(ids))


def test_a_good_first_visit_passes_with_the_real_checks_and_limits():
    visit = visit_with(
        read("water_temperature", 11.5, kit=THERMOMETER),
        read("ph", 7, kit=PH_WHOLE, position=1),
        read("dissolved_oxygen", 9.6, kit=OXYGEN_TITRATOR, position=2),
    )
    assessment = assess(visit, CHECKS, limits_for)
    assert assessment.flag is Flag.PASS
    oxygen = dict(flags_of(assessment.readings[2]))
    assert oxygen["gross-range"] is oxygen["kit-scale"] is oxygen["oxygen-saturation"] is Flag.PASS
    assert oxygen["site-outlier"] is Flag.NOT_EVALUATED
    assert set(oxygen.values()) == {Flag.PASS, Flag.NOT_EVALUATED}


def test_a_check_that_does_not_concern_a_reading_or_a_visit_leaves_no_answer():
    silent = ReadingCheck("silent", 1, Stage.SCALE, lambda *_: None)
    silent_of_visit = VisitCheck("silent-too", 1, Stage.SCALE, lambda *_: None)
    assessment = assess(visit_with(OXYGEN), [silent, silent_of_visit], no_limits)
    assert (assessment.readings[0].results, assessment.visit_results) == ((), ())
    assert assessment.flag is Flag.NOT_EVALUATED


def test_oxygen_is_not_judged_by_a_temperature_that_failed():
    # 54 degF sent as degC: the consistency case K9 (4 by range), common practice
    visit = visit_with(
        read("water_temperature", 54.0),
        read("dissolved_oxygen", 9.6, kit=OXYGEN_TITRATOR, position=1),
    )
    temperature, oxygen = assess(visit, CHECKS, limits_for).readings
    assert temperature.flag is Flag.FAIL
    saturation = next(result.finding for result in oxygen.results if result.check == "oxygen-saturation")
    assert saturation.flag is Flag.NOT_EVALUATED
    assert "passed its own checks" in saturation.message
    assert oxygen.flag is Flag.PASS
