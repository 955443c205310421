"""What limits an answer about a trend: what was left out, what was not known, how coarse the kit is."""

from collections.abc import Iterator

from service.science.qa.wording import sentence
from service.science.stream_profile_words import amount_words
from service.science.trend.evidence import ADJUSTED_FROM_YEARS, FEWEST_YEARS, Evidence, Results
from service.science.trend.verdict import Ground, Ruling
from service.science.trend.wording import DIGITS, Subject, count_words, month_words, p_words

_FEW_VALUES = 3


def trend_reasons(ruling: Ruling, found: Evidence, subject: Subject) -> tuple[str, ...]:
    """Return what limits the answer, one plain sentence or two each.

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
    tuple of str
    """
    told = [*_method(found, subject), *_months(found), *_limits(found, subject)]
    if found.results is not None:
        told += [*_dependence(found, found.results), *_size(found, found.results, subject)]
    if ruling.ground is Ground.CHANGE:
        told.append(
            "The numbers cannot tell why. Visits at another hour of the day, in other weather or by other "
            "hands than in earlier years can look the same; and of 20 streams where nothing changes, one "
            "looks like this by chance."
        )
        told += [subject.note] if subject.note else []
    return tuple(told)


def _method(found: Evidence, subject: Subject) -> Iterator[str]:
    run = found.run
    if run.left_out:
        others = ", ".join(f"{count} by {method}" for method, count in sorted(run.left_out.items()))
        yield (
            f"Only {subject.values} of one {subject.methods} are compared, the one in use now: {run.method}, "
            f"since {run.observations[0].on.year}. Left out: {others}."
        )
    if run.method == subject.unknown_method:
        yield (
            "Nobody noted with which kit the values were read: a change of kit would look like a change of "
            "the stream, and nobody can tell whether the change is more than one step of the kit."
        )


def _months(found: Evidence) -> Iterator[str]:
    short = sorted({one.month for one in found.medians} - set(found.table.months))
    if found.results is not None and short:
        yield f"Left out, with values in under {FEWEST_YEARS} years: {month_words(tuple(short))}."
    unknown = sum(not one.known for one in found.medians)
    if unknown:
        yield f"Left out: {count_words(unknown, 'month')} whose median may be anything."


def _limits(found: Evidence, subject: Subject) -> Iterator[str]:
    limit = found.limit
    if limit is None or not limit.changed:
        return
    sides = (("below", limit.lower_limit), ("above", limit.upper_limit))
    cut = " and ".join(
        f"{side} {amount_words((at, at), subject.unit, DIGITS)}" for side, at in sides if at is not None
    )
    yield (
        "Some values are only known as below or above a limit. To compare them with the others, everything "
        f"{cut} counts as the same; {count_words(limit.changed, 'monthly median')} lost detail by that."
    )


def _dependence(found: Evidence, results: Results) -> Iterator[str]:
    if len(found.years) < ADJUSTED_FROM_YEARS:
        yield (
            f"{sentence(p_words(results.test.p))} is not adjusted for months that are like the months before "
            f"them (serial dependence): that takes {ADJUSTED_FROM_YEARS} years. The honest p may be larger."
        )
    elif results.adjusted is None:
        yield "These values do not allow to adjust the p for months that are like the months before them."


def _size(found: Evidence, results: Results, subject: Subject) -> Iterator[str]:
    if found.step is not None:
        change = amount_words((results.change_low, results.change_high), subject.unit, DIGITS)
        step = amount_words((found.step, found.step), subject.unit, DIGITS)
        yield f"The slope comes to {change} over the whole span; one step of the coarsest kit is {step}."
    if results.test.s and results.different_values <= _FEW_VALUES:
        yield (
            f"Only {count_words(results.different_values, 'different value')} occur: what looks like a slope "
            "may be one jump, and its size hangs on the steps of the scale."
        )
