"""What the checks make of real readings: the errors they must see, and what they must leave in peace.

Judged by hand from the whole column: depth jumps tenfold in autumn 2024 (81 to 280 in a column of centimetres
where the same spots had 4 to 75 in all years before: millimetres), and one conductance lacks a digit (18.4
among 64 to 103 on the same day).
"""

import pytest

from tests.real_input.handed_in import HandedIn

MILLIMETRES_AS_CENTIMETRES = 19


def suspect(handed_in: HandedIn, parameter: str) -> set[tuple[str, float | None]]:
    """Return sample and written value of each reading of a parameter that a check doubts."""
    return {(sample, doubt.value) for sample, doubt in handed_in.doubts() if doubt.parameter == parameter}


def test_every_doubt_says_what_it_saw_and_what_to_do(handed_in: HandedIn) -> None:
    print("\nreadings in doubt")
    for sample, doubt in handed_in.doubts():
        on = handed_in.documents[sample]["observed_on"]
        written = "" if doubt.value is None else f"{doubt.value:g} {doubt.unit}"
        who = f"{on} {sample:<20} {doubt.parameter:<20} {doubt.replicate or '':>2} {written:>14}"
        print(f"{who}  {doubt.check} {doubt.flag}  {doubt.message}")
        assert doubt.message, who
        assert doubt.advice, who


def test_millimetres_in_a_column_of_centimetres_are_seen(handed_in: HandedIn) -> None:
    depths = {
        (sample, float(row["depth"]))
        for sample, rows in handed_in.readings.items()
        for row in rows
        if row["year"] == "2024" and row["depth"] != "NA" and float(row["depth"]) > 60
    }
    assert len(depths) == MILLIMETRES_AS_CENTIMETRES
    assert depths <= suspect(handed_in, "water_depth")


def test_a_conductance_that_lacks_a_digit_is_seen(handed_in: HandedIn) -> None:
    assert ("02URFA22.UFR", 18.4) in suspect(handed_in, "specific_conductance")


@pytest.mark.parametrize("parameter", ["ph", "dissolved_oxygen", "nitrate", "alkalinity"])
def test_ordinary_chemistry_is_not_doubted(handed_in: HandedIn, parameter: str) -> None:
    # Judged by hand: pH 7.1 to 8.3, oxygen 8.7 to 11.9, nitrate 0.6 to 2.9, alkalinity 10 to 46 are usual.
    assert suspect(handed_in, parameter) == set()


def test_a_warm_or_cool_day_is_not_doubted(handed_in: HandedIn) -> None:
    # Judged by hand: 11.5 to 24 degC between the end of May and the start of October is ordinary weather.
    assert suspect(handed_in, "water_temperature") == set()


def test_still_water_on_a_current_meter_is_not_impossible(handed_in: HandedIn) -> None:
    # Common practice: near 0 the sensor of a current meter reads a little to both sides.
    assert [value for _, value in suspect(handed_in, "current_velocity") if value < 0] == []
