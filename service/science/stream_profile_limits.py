"""What limits the verdict on a reach, in plain words: days left out, open readings, kits, the hour."""

from service.science.qa.wording import rounded_words
from service.science.reach import Reach, Verdict
from service.science.stream_profile import LEAST_PAIRED_DAYS, days_needed
from service.science.stream_profile_words import HIDDEN_HOURS, Measure, days_words

_LATER_BY_HABIT = 15  # [min], own: nobody would call less than this another hour


def limits_of(reach: Reach, measure: Measure, reaches_tested: int) -> tuple[str, ...]:
    """Return what limits the verdict on a reach.

    Parameters
    ----------
    reach : Reach
        One reach.
    measure : Measure
        What was compared.
    reaches_tested : int
        How many reaches were tested together.

    Returns
    -------
    tuple of str
        One sentence for each limit; none when there is nothing to say.
    """
    told = (
        _stepped_over(reach),
        _left_out(reach, measure),
        _open_readings(reach),
        _too_few_for_so_many(reach, reaches_tested),
        _kits(reach, measure),
        _hour(reach, measure),
    )
    return tuple(one for one in told if one)


def _stepped_over(reach: Reach) -> str:
    if not reach.over:
        return ""
    lie = "lies" if len(reach.over) == 1 else "lie"
    return f"{' and '.join(reach.over)} {lie} between, read too seldom on the same days to be compared."


def _left_out(reach: Reach, measure: Measure) -> str:
    why = (
        (reach.paired.other_method, "not read with the same kind of kit at both sites"),
        (
            reach.paired.hours_apart,
            f"read more than 2 hours apart, and {measure.name} changes with the hour",
        ),
        (reach.older_days, "not needed, for the newest are enough"),
    )
    told = [f"{days_words(days)} ({reason})" for days, reason in why if days]
    return f"Left out: {'; '.join(told)}." if told else ""


def _open_readings(reach: Reach) -> str:
    days = sum(not day.has_number for day in reach.paired.days)
    if not days:
        return ""
    return (
        f'On {days_words(days)} a reading was only known as "<" or ">": such a day tells a direction where '
        "the two readings cannot be the same, and else counts as no difference."
    )


def _too_few_for_so_many(reach: Reach, reaches_tested: int) -> str:
    days = len(reach.paired.days)
    needed = days_needed(reaches_tested) if reaches_tested else LEAST_PAIRED_DAYS
    if reach.verdict is not Verdict.NO_CHANGE or days >= needed:
        return ""
    return (
        f"Too few days for so many reaches: with {reaches_tested} compared at once it takes {needed} days "
        f"that all agree, and there are {days}."
    )


def _kits(reach: Reach, measure: Measure) -> str:
    if not measure.unit or reach.p is None:
        return ""
    if reach.unnamed_days:
        return (
            f"On {days_words(reach.unnamed_days)} no kit is named: a difference counts there when the finest "
            "kit of the catalogue could tell it, and nobody can say whether both sites had the same one."
        )
    if not reach.same_school and reach.verdict is Verdict.CHANGES:
        return "Two schools read these sites, each with a kit of its own: read both sites once with one kit."
    return ""


def _hour(reach: Reach, measure: Measure) -> str:
    if measure.swings_daily and not reach.hours_known and reach.p is not None:
        return HIDDEN_HOURS
    minutes = reach.minutes_later or 0.0
    if not measure.swings_daily or reach.verdict is not Verdict.CHANGES or abs(minutes) < _LATER_BY_HABIT:
        return ""
    when = "later" if minutes > 0 else "earlier"
    return (
        f"The lower site is visited about {rounded_words(abs(minutes), 2)} minutes {when} than the upper "
        f"one, and {measure.name} changes with the hour: visit the lower one first now and then."
    )
