"""The mistakes of the trade that no slip is named for: who takes care of them, and nothing is guessed."""

import csv
from pathlib import Path

import pytest
from pydantic import ValidationError

from service.science.flags import Flag
from service.science.qa.registry import CHECKS
from service.science.qa.slips.registry import NUMBERLESS_SLIPS, SLIPS
from service.science.qa.slips.visit_date import KIND
from service.science.types import Censoring
from service.visits.schemas import VisitBody
from tests.science.qa.slips.entry_errors import handled_by
from tests.science.qa.slips.planted import NOON, checked, kit_of, named, past, row, visit_of
from tests.science.qa.visits import weekly

LIST = Path(__file__).resolve().parents[5] / "shared" / "reference" / "water-chemistry-entry-errors.csv"
SLIP_KINDS = {slip.kind for slip in (*SLIPS, *NUMBERLESS_SLIPS)} | {KIND}
WATER_12 = row("water_temperature", 12.0, "thermometer-alcohol")


def mistakes(hand):
    return {mistake for mistake, row in handled_by().items() if row["handled_by"] == hand}


def test_every_mistake_of_the_trade_is_in_some_hand():
    if not LIST.is_file():
        pytest.skip("the list of mistakes is not beside the repository")
    with LIST.open(encoding="utf-8", newline="") as file:
        assert [row["id"] for row in csv.DictReader(file)] == list(handled_by())


@pytest.mark.parametrize(("hand", "known"), [("slip", SLIP_KINDS), ("check", {check.id for check in CHECKS})])
def test_the_hands_exist(hand, known):
    assert {handled_by()[mistake]["name"] for mistake in mistakes(hand)} <= known


def numbers_of(*values):
    """Return the same four readings with these numbers, fine enough that they do not repeat by chance."""
    kits = (
        ("water_temperature", "thermometer-digital"),
        ("ph", "ph-meter"),
        ("dissolved_oxygen", "oxygen-meter"),
        ("specific_conductance", "conductivity-meter"),
    )
    return [row(parameter, value, kit) for (parameter, kit), value in zip(kits, values, strict=True)]


LAST_TIME = (12.3, 7.4, 9.7, 210.0)
TODAY_AS_LAST_TIME = numbers_of(*LAST_TIME)
BY_CHECKS = {
    "do-early-read": (
        "waiting-time",
        visit_of(
            row("dissolved_oxygen", 8.0, "oxygen-tablet-comparator", procedure={"minutes_waited": 1.0}),
            WATER_12,
        ),
    ),
    "do-bubble": (
        "bubble",
        visit_of(
            row("dissolved_oxygen", 11.0, "oxygen-titrator", procedure={"bubble_free": False}), WATER_12
        ),
    ),
    "pressure-sealevel": (
        "pressure-kind",
        visit_of(row("barometric_pressure", 1015.0), elevation_m=1000.0),
    ),
    "copy-previous": (
        "copy-forward",
        visit_of(
            *TODAY_AS_LAST_TIME,
            past={
                reading.parameter: weekly(
                    [reading.value], NOON.date(), kit=reading.kit.code, kind=reading.kit.kind
                )
                for reading in TODAY_AS_LAST_TIME
            },
        ),
    ),
    "off-grid": ("kit-scale", visit_of(row("ph", 7.3, "ph-comparator-wide"))),
}


@pytest.mark.parametrize("mistake", sorted(mistakes("check")))
def test_a_check_holds_it_and_no_slip_is_guessed(mistake):
    check, visit = BY_CHECKS[mistake]
    found = checked(visit)
    results = [*found.visit_results, *(result for reading in found.readings for result in reading.results)]
    assert check == handled_by()[mistake]["name"]
    assert {result.check for result in results if result.finding.flag in (Flag.SUSPECT, Flag.FAIL)} == {check}
    # pressure-kind tells by itself what the pressure would be: 1015 hPa times 0.8870 (standard atmosphere)
    told = [finding.likely_slip.would_be for _, finding in named(found).values()]
    assert told == ([pytest.approx(900.3, abs=0.1)] if check == "pressure-kind" else [])


NOT_INFERRED = {
    # 12.5 NTU in the box of the tube: finer than the tube, and no more is certain
    "tube-ntu": visit_of(
        row("transparency", 12.5, "transparency-tube-60"), row("turbidity", 12.5, "turbidity-meter")
    ),
    # 9.0 as NH4 are 7.0 as N, a factor of 1.288
    "ammonia-basis": visit_of(row("ammonia", 9.0), past={"ammonia": past([7.0, 7.1, 6.9, 7.0] * 5)}),
    # raw conductance at 10 degC is 0.71 of the specific conductance (1 + 0.0191 (10 - 25))
    "cond-not-25": visit_of(
        row("specific_conductance", 1420.0, "conductivity-meter"),
        past={"specific_conductance": past([2000.0, 1990, 1980, 2000] * 4, "conductivity-meter")},
    ),
    # read to the nearest half where the lines stand at 0.2: a habit that shows in many visits
    "digit-heaping": visit_of(row("dissolved_oxygen", 9.5, "oxygen-titrator"), WATER_12),
    # 4000 feet typed as metres: good oxygen of 10.5 mg/L seems too much, and no reading is blamed
    "elev-feet": visit_of(row("dissolved_oxygen", 10.5), WATER_12, elevation_m=4000.0),
}


@pytest.mark.parametrize("mistake", sorted(mistakes("not inferred")))
def test_a_mistake_that_no_number_betrays_is_not_guessed(mistake):
    found = checked(NOT_INFERRED[mistake])
    assert found.flag in (Flag.SUSPECT, Flag.FAIL)
    assert named(found) == {}


def test_a_full_tube_without_a_mark_is_more_than_its_length():
    reading = row("transparency", 60.0, "transparency-tube-60")
    assert (reading.value, reading.censored) == (60.0, Censoring.ABOVE)
    assert kit_of("transparency-tube-60").upper == 60
    assert checked(visit_of(reading)).flag is Flag.PASS


BODY = {
    "site": "alder-02",
    "observed_at": "2026-03-12T10:15:00-05:00",
    "readings": [{"parameter": "nitrate", "value": 1.0, "unit": "mg/L as N"}],
}
REFUSED = {
    "lt-as-text": [{"value": text} for text in ("<1", ">60", "60+", "ND", "n/d", "trace", "bdl", "-", "1-2")],
    "range-text": [{"value": text} for text in ("5-6", "2026-06-05", "5-Jun")],
    "date-serial": [
        {"observed_at": day} for day in (46093, "46093", "1900-01-00T10:00:00-05:00", "1970-01-01")
    ],
    "date-2digit": [{"observed_at": day} for day in ("26-03-12T10:15:00-05:00", "0026-03-12", "12/03/26")],
    "decimal-comma": [{"value": "7,4"}],
}


def with_change(change):
    if "value" in change:
        return BODY | {"readings": [BODY["readings"][0] | change]}
    return BODY | change


def test_the_body_is_good_without_the_mistake():
    assert VisitBody.model_validate(BODY).site == "alder-02"


@pytest.mark.parametrize(
    ("mistake", "change"), [(mistake, change) for mistake, changes in REFUSED.items() for change in changes]
)
def test_it_never_gets_in(mistake, change):
    (key,) = change
    with pytest.raises(ValidationError) as refused:
        VisitBody.model_validate(with_change(change))
    assert key in refused.value.errors()[0]["loc"]


def test_all_that_is_refused_is_tried():
    assert mistakes("refused") | {"decimal-comma"} == set(REFUSED)
