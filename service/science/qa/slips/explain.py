"""Which slip explains a reading that is held? At most one is named, and only one that fits."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from service.science.qa.engine import ReadingAssessment
from service.science.qa.slips import high_water
from service.science.qa.slips.fit import FITS_WITHIN, Fit
from service.science.qa.slips.registry import NUMBERLESS_SLIPS, SLIPS
from service.science.qa.slips.slip import Proposal, Slip
from service.science.qa.wording import number_words, rounded_words, unit_words
from service.science.types import Censoring, LikelySlip, Reading, Visit

NO_DIFFERENCE = 1.0  # spreads: nearer than that to each other, two distances tell nothing apart

LooksRight = Callable[[Proposal], Fit | None]
Fitting = tuple[Slip, Reading, Fit]


@dataclass(frozen=True, slots=True)
class Explanation:
    """The slip, the sentence that asks about it, and where known what it brings in order."""

    slip: LikelySlip
    question: str
    fit: Fit | None = None


def likely_slip(
    reading: Reading, assessed: ReadingAssessment, visit: Visit, looks_right: LooksRight
) -> Explanation | None:
    """Return the slip that explains a reading best.

    Parameters
    ----------
    reading, assessed : a reading that is held, and what was found
    visit : its visit
    looks_right : checks the visit again as proposed; ``None`` when that does not bring it in order

    Returns
    -------
    Explanation or None
        Of those that fit, one that brings most readings in order; of these the nearest to what the season
        leads one to expect; within ``NO_DIFFERENCE`` of it, the first of the registry. A slip without a
        number is named only where no other fits.
    """
    if reading.written_censored is not None:
        return None
    fitting = list(_fitting(reading, assessed, visit, looks_right))
    if fitting:
        slip, meant, found = _best(fitting)
        would_be, words = _told(meant, reading)
        return Explanation(LikelySlip(slip.kind, would_be), slip.question.format(would_be=words), found)
    for numberless in NUMBERLESS_SLIPS:
        if reading.parameter in numberless.parameters and numberless.happened(reading, visit):
            return Explanation(LikelySlip(numberless.kind, None), numberless.question)
    return None


def _fitting(
    reading: Reading, assessed: ReadingAssessment, visit: Visit, looks_right: LooksRight
) -> Iterator[Fitting]:
    for slip in SLIPS:
        serves = not slip.parameters or reading.parameter in slip.parameters
        proposal = slip.propose(reading, visit) if serves else None
        if proposal is None:
            continue
        if proposal.needs_season and high_water.may_explain(reading, proposal.meant, assessed, visit):
            continue
        found = looks_right(proposal)
        if found is not None and not (proposal.needs_season and found.distance is None):
            yield slip, proposal.meant, found


def _best(fitting: list[Fitting]) -> Fitting:
    most = max(len(found.in_order) for _, _, found in fitting)
    widest = [row for row in fitting if len(row[2].in_order) == most]
    nearest = min(_distance(found) for _, _, found in widest)
    return next(row for row in widest if _distance(row[2]) <= nearest + NO_DIFFERENCE)


def _distance(found: Fit) -> float:
    return FITS_WITHIN if found.distance is None else found.distance


def _told(meant: Reading, reading: Reading) -> tuple[float, str]:
    """Return the number [unit of storage] and its words, in the written unit unless that was the slip."""
    more = "more than " if meant.censored is Censoring.ABOVE else "less than " if meant.censored else ""
    would_be = meant.value if meant.written_unit == meant.unit else _rounded(meant)
    if meant.written_unit == reading.written_unit:
        return would_be, f"{more}{number_words(meant.written_value)}{unit_words(meant.written_unit)}"
    return would_be, f"{more}{number_words(would_be)}{unit_words(meant.unit)}"


def _rounded(meant: Reading) -> float:
    """Return a converted number without the digits that the conversion made up."""
    if meant.unit == "degC":
        return round(meant.value, 1)
    return float(rounded_words(meant.value, 4 if abs(meant.value) >= 100 else 3))
