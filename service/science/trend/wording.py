"""The verdict on a trend in plain words, and the numbers as they are printed."""

from dataclasses import dataclass
from math import isfinite

from service.science.qa.wording import rounded_words, sentence
from service.science.stream_profile_words import amount_words
from service.science.trend.evidence import FEWEST_MONTHS, FEWEST_YEARS, Evidence
from service.science.trend.sen_slope import Slope
from service.science.trend.verdict import LEVEL, Ground, Ruling, Verdict

_MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
_SMALLEST_P = 0.001
DIGITS = 3  # that mean something in a slope or a change
_BUT = {
    Ground.DEPENDENCE: f"adjusted for alike months (serial dependence) {{adjusted}} is not below {LEVEL}",
    Ground.NO_TYPICAL_CHANGE: "the middle change between two years is 0, for most of the values are the same",
    Ground.SIZE_UNKNOWN: "too many are only known as below or above a limit to tell the size of the change",
    Ground.UNDER_ONE_STEP: "the whole change, {change}, is not more than one step of the kit, {step}",
}


@dataclass(frozen=True, slots=True)
class Subject:
    """What the words are about: its name and unit, what its values are called, and what kinds there are.

    ``unknown_method`` is the method of values of which nobody noted how they were made, if there can be such.
    ``note`` is to be told with every trend.
    """

    name: str
    unit: str
    values: str
    methods: str
    unknown_method: str | None = None
    note: str = ""


def verdict_words(ruling: Ruling, found: Evidence, subject: Subject) -> str:
    """Return the verdict in a sentence or two.

    Parameters
    ----------
    ruling : Ruling
        What was decided on the evidence.
    found : Evidence
        The evidence.
    subject : Subject
        What it is about.

    Returns
    -------
    str
    """
    results = found.results
    if results is None:
        return f"Not enough data for a trend: {_lack_words(found)}."
    p = p_words(results.test.p)
    if ruling.ground is Ground.CHANCE:
        return (
            f"No trend shown: {p} is not below {LEVEL}. That is no proof that nothing changed; these values "
            "cannot tell a change from chance."
        )
    change = amount_words((results.change_low, results.change_high), subject.unit, DIGITS)
    adjusted = p_words(results.adjusted.p) if results.adjusted else ""
    if ruling.verdict is Verdict.NO_TREND_SHOWN:
        side = "higher" if results.test.s > 0 else "lower"
        step = amount_words((found.step, found.step), subject.unit, DIGITS) if found.step else ""
        but = _BUT[ruling.ground].format(change=change, step=step, adjusted=adjusted)
        return f"No trend shown: later values are more often {side} than earlier ones ({p}), but {but}."
    more = f"adjusted for serial dependence {adjusted}" if adjusted else "not adjusted for serial dependence"
    return sentence(
        f"{subject.name} is {ruling.verdict}: {slope_words(results.slope, subject.unit)}, {change} from "
        f"{found.years[0]} to {found.years[-1]}; {p}, {more}; the level is {LEVEL}."
    )


def slope_words(slope: Slope, unit: str) -> str:
    """Return a slope with its interval: ``0.11 °C per year (95 % interval 0 to 0.17)``."""
    ends = (rounded_words(end) if isfinite(end) else "not known" for end in (slope.lower, slope.upper))
    return (
        f"{amount_words((slope.low, slope.high), unit, DIGITS)} per year (95 % interval {' to '.join(ends)})"
    )


def p_words(p: float) -> str:
    """Return a p as it is printed: ``p = 0.012``; the smallest are only called below 0.001."""
    return f"p = {rounded_words(p, 2)}" if p >= _SMALLEST_P else f"p below {_SMALLEST_P}"


def count_words(number: int, noun: str) -> str:
    """Return how many there are of something: ``1 month``, ``3 months``."""
    return f"{number} {noun}{'' if number == 1 else 's'}"


def month_words(months: tuple[int, ...]) -> str:
    """Return the names of months, in the order given."""
    return ", ".join(_MONTHS[month - 1] for month in months)


def _lack_words(found: Evidence) -> str:
    if len(found.years) < FEWEST_YEARS:
        return f"there are values in {count_words(len(found.years), 'year')}, and {FEWEST_YEARS} are needed"
    months = found.table.months
    if len(months) < FEWEST_MONTHS:
        those = f"{count_words(len(months), 'month')} ({month_words(months)})" if months else "no month"
        return (
            f"{those} of the year {'have' if len(months) > 1 else 'has'} values in {FEWEST_YEARS} years, and "
            f"{FEWEST_MONTHS} such months are needed"
        )
    return "the values below a limit and those above one leave none between them to compare"
