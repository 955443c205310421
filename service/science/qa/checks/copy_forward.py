"""Are all numbers those of the last visit? Then a field sheet may have been copied or sent twice.

One number that repeats says nothing: pH 7 on a card repeats most weeks. So the chances of the kits that were
used are multiplied, and only a coincidence too rare to believe is suspect. Numbers written with "<" or ">"
(nutrients below the card, a full tube) must agree too, but lend no weight.
"""

from collections.abc import Sequence
from datetime import date
from math import prod

from service.science.flags import Flag
from service.science.kit_reading import is_same
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.qa.checks.kit_scale import COUNTED, READ_BETWEEN_LINES
from service.science.qa.wording import number_words, parameter_words
from service.science.types import Evidence, Finding, PastReading, Reading, Visit

ADVICE = (
    "Look at your field sheet: was the old one copied or sent again? If so, send the numbers of this visit. "
    "If they were all read today, write that in the notes: your coordinator can let them stand."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Compare all readings of a visit with those of the last earlier date at the site.

    Parameters
    ----------
    visit : its readings, and the history, of which the latest date counts
    limits : ``readings_min`` [parameters], fewer are not judged; ``chance_of_lines``, ``chance_of_drops`` and
        ``chance_of_marks`` [0 to 1], that one reading repeats by itself, by the scale of its kit;
        ``chance_most`` [0 to 1], below which a repetition of all of them is suspect

    Returns
    -------
    Finding or None
        3 when every reading repeats and that is too rare to be chance; else 1, with a word when every reading
        repeats; ``None`` without an earlier visit or with too few numbers.
    """
    earlier = [past.on for readings in visit.history.values() for past in readings]
    numbers = {reading.parameter: reading for reading in visit.readings if reading.censored is None}
    if not earlier or len(numbers) < limits["readings_min"]:
        return None
    on = max(earlier)
    if not all(_repeats(reading, visit.history.get(reading.parameter, ()), on) for reading in visit.readings):
        return Finding(Flag.PASS, evidence={"compared_with": on.isoformat(), "numbers": len(numbers)})
    chance = prod(_chance(reading, limits) for reading in numbers.values())
    evidence: Evidence = {
        "compared_with": on.isoformat(),
        "numbers": len(numbers),
        "chance": float(f"{chance:.2g}"),
        "chance_most": limits["chance_most"],
    }
    listed = ", ".join(parameter_words(parameter) for parameter in numbers)
    told = f"Every reading is the same as on {on} ({listed})"
    if chance > limits["chance_most"]:
        return Finding(Flag.PASS, f"{told}; with the scales of these kits that can happen.", evidence)
    odds = number_words(float(f"{1 / chance:.1g}"))
    message = f"{told}. By itself that would happen about once in {odds} visits."
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


def _repeats(reading: Reading, past: Sequence[PastReading], on: date) -> bool:
    that_day = (one for one in past if one.on == on)
    return any(one.censored is reading.censored and is_same(one.value, reading.value) for one in that_day)


def _chance(reading: Reading, limits: Limits) -> float:
    """Return how likely one reading repeats by itself; without a kit the digits tell the scale."""
    kit = reading.kit
    if kit is None:
        has_digits = not float(reading.written_value).is_integer()
        return limits["chance_of_lines"] if has_digits else limits["chance_of_marks"]
    if kit.kind in READ_BETWEEN_LINES:
        return limits["chance_of_lines"]
    return limits["chance_of_drops"] if kit.kind in COUNTED else limits["chance_of_marks"]


CHECK = VisitCheck(
    id="copy-forward",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("readings_min", "chance_of_lines", "chance_of_drops", "chance_of_marks", "chance_most"),
)
