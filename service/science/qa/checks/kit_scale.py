"""Can this kit show this number at all? The cheapest good check: it sees slips that no range can see.

Rules: a number beyond the kit, or off the marks of a kit that only has marks or whole drops, cannot have
been read and fails. Between the lines of a thermometer, meter, titrator or tube an eye can guess, so a number
finer than the step is only suspect. "<" and ">" must name what the kit can state: a limit beyond the kit
fails, a limit that tells less than the kit could have told is suspect.
"""

import math

from service.science.flags import Flag
from service.science.kit_reading import highest_readable, is_same, lowest_readable
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import (
    number_words,
    parameter_words,
    rounded_words,
    sentence,
    unit_words,
    written_words,
)
from service.science.types import Censoring, Finding, Kit, Reading, Visit

READ_BETWEEN_LINES = frozenset({"thermometer", "meter", "titrator", "tube"})
TABLE_OF_NUMBERS = "tray"  # a table of most probable numbers: its numbers have no even steps
COUNTED = frozenset({"drop-count", "plate"})
MARKS_TO_LIST = 8
SAME_LIMIT = 0.01  # relative; tables of one tray print 2419.2, 2419.17 and 2419.6
TOP_REACHED = {
    "tube": "The tube was full and the disk still in sight",
    "tray": "Every well was positive",
    "plate": "More colonies than the plate can tell",
}


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding:
    """Compare a written number with the marks, the step and the ends of the kit's scale.

    Parameters
    ----------
    reading : the written number and the kit it was read with; compared in the kit's own unit
    visit : not used; a single reading is enough
    limits : not used; the scale of the kit is the limit

    Returns
    -------
    Finding
        1 on the scale, 3 finer than the scale or vaguer than the kit, 4 impossible on this kit, 2 without a
        kit. A number that was understood as "<" or ">" passes with a message that says so.
    """
    kit, value = reading.kit, reading.kit_value
    if kit is None:
        return Finding(
            Flag.NOT_EVALUATED,
            "No kit was named, so nobody can tell how exact this number is.",
            advice="Name the kit that you read it with.",
        )
    if value is None:
        return Finding(
            Flag.FAIL,
            f"{sentence(parameter_words(reading.parameter))} cannot be read with this kit ({kit.name}): "
            f"it measures {parameter_words(kit.parameter)}.",
            {"kit": kit.code, "kit_parameter": kit.parameter},
            "Choose the kit that you used, or put the number behind the right name.",
        )
    if reading.written_censored is not None:
        return _judge_limit(reading, reading.written_censored, kit, value)
    if reading.censored is not None and (reading.censored is Censoring.ABOVE or value == 0):
        return _tell_limit_meant(reading, kit, value)
    return _judge_number(reading, kit, value)


def _judge_number(reading: Reading, kit: Kit, value: float) -> Finding:
    evidence = _evidence(kit, value)
    lowest, highest = lowest_readable(kit), highest_readable(kit)
    if _is_on_scale(kit, value):
        advice = ""
        if kit.marks and is_same(value, highest):
            beyond = f"> {number_words(highest)}{unit_words(kit.unit)}"
            advice = f"If the colour went beyond the last mark, write {beyond} instead."
        return Finding(Flag.PASS, evidence=evidence, advice=advice)
    told = f"{_scale(kit)}; {_written_on(reading, kit, value)}"
    if kit.kind not in READ_BETWEEN_LINES and _is_in_wrong_unit(reading, kit):
        number = number_words(reading.written_value)
        message = f"{told} is not on it. {number}{unit_words(kit.unit)} would be."
        advice = f"Look at the kit: if it says {kit.unit}, send {number} with that unit."
        return Finding(Flag.FAIL, message, evidence, advice)
    if value < lowest and not is_same(value, lowest):
        return Finding(Flag.FAIL, f"{told} is below it.", evidence, _advice_beyond(kit, "<", lowest))
    if value > highest and not is_same(value, highest):
        return Finding(Flag.FAIL, f"{told} is above it.", evidence, _advice_beyond(kit, ">", highest))
    if kit.marks:
        advice = "Write the mark whose colour matched best."
        return Finding(Flag.FAIL, f"{told} is between the marks{_neighbours(kit, value)}.", evidence, advice)
    if kit.kind in READ_BETWEEN_LINES:
        advice = "Read it again and write the nearest line of the scale, with the kit's own unit."
        return Finding(Flag.SUSPECT, f"{told} is finer than that.", evidence, advice)
    advice = f"Work the number out again and look at the decimal point.{_counting_advice(kit)}"
    return Finding(Flag.FAIL, f"{told} cannot come out of that.", evidence, advice)


def _judge_limit(reading: Reading, side: Censoring, kit: Kit, value: float) -> Finding:
    below = side is Censoring.BELOW
    end = lowest_readable(kit) if below else highest_readable(kit)
    evidence = {**_evidence(kit, value), "kit_limit": end}
    if math.isclose(value, end, rel_tol=SAME_LIMIT):
        return Finding(Flag.PASS, evidence=evidence)
    right = f"{side} {number_words(end)}{unit_words(kit.unit)}"
    end_word = "lowest" if below else "highest"
    told = f"{_written_on(reading, kit, value)} was written, but the {end_word} value of your kit is "
    told = f"{told}{number_words(end)}{unit_words(kit.unit)}"
    if (value < end) if below else (value > end):
        message, flag = f"{told}: it cannot tell that.", Flag.FAIL
    else:
        message, flag = f"{told}: it can tell more than that.", Flag.SUSPECT
    seen = "below the lowest value" if below else "beyond the highest value"
    return Finding(
        flag, message, evidence, f"If it was {seen}, write {right}. Else write the number you read."
    )


def _tell_limit_meant(reading: Reading, kit: Kit, value: float) -> Finding:
    if reading.censored is Censoring.ABOVE:
        limit = f"more than {number_words(highest_readable(kit))}{unit_words(kit.unit)}"
        message = f"{TOP_REACHED.get(kit.kind, TOP_REACHED['tube'])}: taken as {limit}."
        advice = f"If it was just the highest value and no more, the answer is the same: {limit}."
    else:
        limit = f"less than {number_words(lowest_readable(kit))}{unit_words(kit.unit)}"
        message = f"0 on this kit means {limit}: it is kept like that."
        advice = "If 0 was written because nobody measured it, take this reading out."
    return Finding(Flag.PASS, message, _evidence(kit, value), advice)


def _is_on_scale(kit: Kit, value: float) -> bool:
    if kit.marks:
        return any(is_same(value, mark) for mark in kit.marks)
    if not (kit.lower <= value <= kit.upper or is_same(value, kit.lower) or is_same(value, kit.upper)):
        return False
    if kit.step is None or kit.kind == TABLE_OF_NUMBERS:
        return True
    steps = (value - kit.lower) / kit.step
    return is_same(steps, round(steps))


def _written_on(reading: Reading, kit: Kit, value: float) -> str:
    words = written_words(reading)
    if reading.written_unit == kit.unit:
        return words
    return f"{words} ({rounded_words(value, 4)}{unit_words(kit.unit)})"


def _is_in_wrong_unit(reading: Reading, kit: Kit) -> bool:
    return reading.written_unit != kit.unit and _is_on_scale(kit, reading.written_value)


def _scale(kit: Kit) -> str:
    unit = unit_words(kit.unit)
    marks = [number_words(mark) for mark in kit.marks]
    if marks and len(marks) <= MARKS_TO_LIST:
        return f"Your kit shows {', '.join(marks[:-1])} or {marks[-1]}{unit}"
    steps = "" if marks or kit.step is None else f" in steps of {number_words(kit.step)}"
    ends = f"{number_words(lowest_readable(kit))} to {number_words(highest_readable(kit))}"
    return f"Your kit shows {ends}{unit}{steps}"


def _neighbours(kit: Kit, value: float) -> str:
    """Name the two marks around a number, where the list of marks is too long to print."""
    if len(kit.marks) <= MARKS_TO_LIST:
        return ""
    below = max(mark for mark in kit.marks if mark < value)
    above = min(mark for mark in kit.marks if mark > value)
    return f" {number_words(below)} and {number_words(above)}"


def _advice_beyond(kit: Kit, side: str, end: float) -> str:
    how = "less than the lowest value showed" if side == "<" else "it went beyond the end of the scale"
    right = f"{side} {number_words(end)}{unit_words(kit.unit)}"
    advice = f"Read it again and look at the decimal point and the unit.{_counting_advice(kit)}"
    return f"{advice} If {how}, write {right}."


def _counting_advice(kit: Kit) -> str:
    if kit.kind not in COUNTED or kit.step is None:
        return ""
    one = "drop" if kit.kind == "drop-count" else "colony"
    return f" One {one} stands for {number_words(kit.step)}{unit_words(kit.unit)}: did you multiply?"


def _evidence(kit: Kit, value: float) -> dict[str, float | str | None]:
    return {
        "kit": kit.code,
        "kit_value": value,
        "kit_unit": kit.unit,
        "kit_lowest": lowest_readable(kit),
        "kit_highest": highest_readable(kit),
        "kit_step": kit.step,
    }


CHECK = ReadingCheck(id="kit-scale", version=1, stage=Stage.SCALE, run=run, for_blanks=True)
