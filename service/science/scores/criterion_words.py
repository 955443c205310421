"""What came of comparing a reading with a criterion, in the words and numbers of a class."""

import math

from service.science.criterion_comparison import Comparison
from service.science.qa.wording import parameter_words, rounded_words, unit_words
from service.science.scores.reading_doubt import says_its_doubt
from service.science.types import Censoring, Reading

DIGITS = 5
_SIDES = {Censoring.BELOW: "less than ", Censoring.ABOVE: "more than "}


def asked_words(test: Comparison) -> str:
    """Return what a criterion asks: ``at least 5 mg/L``, ``6.5 to 9``."""
    unit = unit_words(test.criterion.unit)
    if math.isinf(test.at_most):
        return f"at least {_number(test.at_least)}{unit}"
    if math.isinf(test.at_least):
        at_this = " at this pH and water temperature" if test.criterion.formula else ""
        return f"at most {_number(test.at_most)}{unit}{at_this}"
    return f"{_number(test.at_least)} to {_number(test.at_most)}{unit}"


def not_met_words(test: Comparison) -> str:
    """Say that a value was not met, and whether the kit can tell."""
    told = "" if test.certain else ", so this kit cannot tell whether it is met"
    return f"{_compared(test)}{_interval(test.reading)}{told}"


def not_told_words(test: Comparison) -> str:
    """Say that a value was met by the number, but not by the whole interval of the kit."""
    return f"{_compared(test)}{_interval(test.reading)}, so this kit cannot tell whether it is met"


def left_out_words(test: Comparison) -> str:
    """Say that a limit cannot be compared with the criterion."""
    return f"{_compared(test)}: left out, as this reading cannot tell whether it is met"


def _compared(test: Comparison) -> str:
    reading = test.reading
    side = _SIDES[reading.censored] if reading.censored else ""
    read = f"{parameter_words(reading.parameter)} {side}{_number(reading.value)}{unit_words(reading.unit)}"
    return f"{read}: the criterion is {asked_words(test)}"


def _interval(reading: Reading) -> str:
    if reading.censored is not None or not says_its_doubt(reading):
        return ""
    return f"; the kit's interval {_number(reading.low)} to {_number(reading.high)}{unit_words(reading.unit)}"


def _number(value: float) -> str:
    return rounded_words(value, DIGITS)
