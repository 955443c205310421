"""A stream's profile in plain words: where something changes, what else it may be, what to do next."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import isinf

from service.science.censored_median import Interval
from service.science.qa.wording import rounded_words, sentence, unit_words
from service.science.reach import Reach, Verdict
from service.science.stream_profile import LEAST_PAIRED_DAYS, SIGNIFICANT

NOTHING_TO_COMPARE = "Nothing to compare: it takes two sites with a known place in the order of the stream."

UNNAMED_KIT = "Not every reading here names its kit, and two different instruments would look just the same."
HIDDEN_HOURS = (
    "The hours of visits are shown to their own school and to the coordinator alone. So days count here on "
    "which the two sites may have been read many hours apart, which alone can make a difference: ask the "
    "coordinator, whose answer leaves such days out."
)


@dataclass(frozen=True, slots=True)
class Measure:
    """What is followed down the stream: its name inside a sentence and its unit (empty for a score).

    ``swings_daily`` tells whether it changes so much with the hour that the visits must be near in time;
    ``caution`` is one more sentence on what else can make it differ.
    """

    name: str
    unit: str
    swings_daily: bool = False
    caution: str = ""


def where_it_changes(reaches: Sequence[Reach], measure: Measure) -> str:
    """Return which reaches change, in plain words, or why none can be named.

    Parameters
    ----------
    reaches : sequence of Reach
        All reaches of a stream, from the headwater down.
    measure : Measure
        What was compared.

    Returns
    -------
    str
        Sentences for a class; a rise or a fall is told and never called good or bad.
    """
    if not reaches:
        return NOTHING_TO_COMPARE
    changing = [reach for reach in reaches if reach.verdict is Verdict.CHANGES]
    told = _changes(changing, measure) if changing else [_no_change(reaches, measure)]
    told += [_perhaps(reaches), _too_small(reaches), _untold(reaches)]
    return " ".join(part for part in told if part)


def where_most_changes(profiles: Mapping[str, Sequence[Reach]]) -> str:
    """Return where each thing changes most, the reach in which most of them do first.

    Parameters
    ----------
    profiles : mapping of name to sequence of Reach
        What was followed down one stream, by its name inside a sentence.

    Returns
    -------
    str
        A sentence for each such reach, or that there is none.
    """
    if not any(profiles.values()):
        return NOTHING_TO_COMPARE
    found: defaultdict[str, list[str]] = defaultdict(list)
    for name, reaches in profiles.items():
        changing = [reach for reach in reaches if reach.verdict is Verdict.CHANGES]
        if changing:
            largest = _largest(changing)
            found[_between(largest)].append(f"{name} ({_direction(largest)})")
    ordered = sorted(found.items(), key=lambda item: -len(item[1]))
    told = [f"The largest change of {', '.join(changes)} lies {place}." for place, changes in ordered]
    untold = [name for name, reaches in profiles.items() if all(reach.p is None for reach in reaches)]
    if untold:
        told.append(f"Nothing can be said yet of {', '.join(untold)}: too few days with neighbouring sites.")
    if not found:
        return " ".join(["Between no two neighbouring sites can these visits show a change.", *told])
    return " ".join([*told, "A rise or a fall is told here, not whether it does harm."])


def amount_words(bounds: Interval, unit: str, digits: int = 4) -> str:
    """Return a number that is only known within bounds, with its unit.

    Parameters
    ----------
    bounds : (low, high)
        Bounds [``unit``], infinite where open.
    unit : str
        Unit of storage, empty for a score.
    digits : int
        Digits that mean something, at least 1.

    Returns
    -------
    str
        Such as ``6 mg/L``, ``at least 60 cm``, ``2 to 4 mg/L`` or ``not known``.
    """
    low, high = ("" if isinf(bound) else rounded_words(bound, digits) for bound in bounds)
    if not low and not high:
        return "not known"
    if low and high:
        number = low if low == high else f"{low} to {high}"
    else:
        number = f"at least {low}" if low else f"at most {high}"
    return f"{number}{unit_words(unit)}"


def days_words(count: int) -> str:
    """Return a number of days in words: ``1 day``, ``6 days``."""
    return "1 day" if count == 1 else f"{count} days"


def _changes(changing: Sequence[Reach], measure: Measure) -> list[str]:
    largest = _largest(changing)
    told = [_change(reach, measure) for reach in changing]
    if len(changing) > 1:
        told.append(f"The largest change is {_between(largest)}.")
    return [
        *told,
        "A side stream, a change of the bed or of the shade, or the hour of the visits can do this too: a "
        "difference between two sites does not yet name a cause.",
        measure.caution,
        UNNAMED_KIT if any(reach.unnamed_days for reach in changing) else "",
        HIDDEN_HOURS if measure.swings_daily and not all(reach.hours_known for reach in changing) else "",
        f"What to do next: read {measure.name} at a place {_between(largest)} as well, on the same days, "
        "within 2 hours, with the same kit, and look there for side streams, pipes and ditches.",
    ]


def _largest(changing: Iterable[Reach]) -> Reach:
    return max(changing, key=lambda reach: reach.likely_amount)


def _change(reach: Reach, measure: Measure) -> str:
    by = ""
    if reach.size is not None and (reach.size.middle[0] > 0 or reach.size.middle[1] < 0):
        low, high = sorted(map(abs, reach.size.middle))
        by = f" by {'about ' if low == high else ''}{amount_words((low, high), measure.unit, 3)}"
    way, days = ("higher", reach.signs.plus) if reach.rises else ("lower", reach.signs.minus)
    paired = days_words(len(reach.paired.days))
    return (
        f"{sentence(measure.name)} {_direction(reach)} {_between(reach)}{by}: it was {way} downstream on "
        f"{days} of {paired} on which both were read."
    )


def _no_change(reaches: Sequence[Reach], measure: Measure) -> str:
    if all(reach.verdict is Verdict.NOT_ENOUGH_DAYS for reach in reaches):
        return (
            f"Where {measure.name} changes cannot be told yet: no two neighbouring sites were read alike on "
            f"{LEAST_PAIRED_DAYS} days. Plan days on which neighbouring sites are read within 2 hours of "
            "each other, with the same kit."
        )
    told_from = "chance and from the steps of the kits" if measure.unit else "chance"
    return (
        f"No reach shows a change of {measure.name} that these days can tell from {told_from}. That does not "
        "prove that there is none."
    )


def _perhaps(reaches: Sequence[Reach]) -> str:
    """Name what would count if it had been compared alone."""
    tested = sum(reach.p is not None for reach in reaches)
    perhaps = [
        _between(reach)
        for reach in reaches
        if reach.verdict is Verdict.NO_CHANGE and (reach.p or 0.0) <= SIGNIFICANT
    ]
    if not perhaps:
        return ""
    return (
        f"Perhaps it changes {', and '.join(perhaps)}: compared alone these days would show it, with "
        f"{tested} reaches compared at once they do not yet. More days will tell."
    )


def _too_small(reaches: Iterable[Reach]) -> str:
    small = [_between(reach) for reach in reaches if reach.verdict is Verdict.SMALLER_THAN_A_STEP]
    if not small:
        return ""
    return (
        f"There is a difference {', and '.join(small)}, but as far as it is certain it is smaller than one "
        "step of the kit."
    )


def _untold(reaches: Sequence[Reach]) -> str:
    few = [reach for reach in reaches if reach.verdict is Verdict.NOT_ENOUGH_DAYS]
    if not few or len(few) == len(reaches):
        return ""
    told = ", and ".join(f"{_between(reach)} ({days_words(len(reach.paired.days))})" for reach in few)
    return f"Nothing can be said {told}: {LEAST_PAIRED_DAYS} days on which both were read alike are needed."


def _direction(reach: Reach) -> str:
    return "rises" if reach.rises else "falls"


def _between(reach: Reach) -> str:
    return f"between {reach.upstream} and {reach.downstream}"
