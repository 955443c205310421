"""Were the reagents of the box still good on the day of the visit?

Not asked of a blank: the blank is what clears a box or condemns it, so it must not be judged by the last one.
"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.reagents import METERED_PARAMETERS, REAGENT_KINDS, REAGENT_PARAMETERS
from service.science.types import Finding, Reading, Visit

ADVICE_EXPIRED = "Repeat the test with a box that is still good, and put this one away for disposal."
ADVICE_BLANK = (
    "Rinse the bottle with distilled water and run a new blank. If it is clean, repeat the test; if it shows "
    "colour again, take another box."
)


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare the day of the visit with the last day of the box and with the day its blank showed colour.

    Parameters
    ----------
    reading : names the box of its kit, or none
    visit : gives the local date
    limits : not used; the box itself says how long it is good

    Returns
    -------
    Finding or None
        3 when the box expired before the visit, or its newest blank had failed by then; the last day itself
        is good. 1 when nothing speaks against the box, 2 when none was named.
    """
    lot, on = reading.lot, visit.observed_at.date()
    if lot is None:
        if reading.kit is None or reading.kit.kind not in REAGENT_KINDS:
            return None
        return Finding(Flag.NOT_EVALUATED, "It was not noted from which box the reagents came.")
    problems: list[tuple[str, str]] = []
    if lot.expires_on is not None and lot.expires_on < on:
        told = f"The last good day of box {lot.code} was {lot.expires_on}, before this visit of {on}."
        problems.append((told, ADVICE_EXPIRED))
    if lot.blank_failed_on is not None and lot.blank_failed_on <= on:
        told = f"The blank of box {lot.code} showed colour on {lot.blank_failed_on}."
        problems.append((told, ADVICE_BLANK))
    return Finding(
        Flag.SUSPECT if problems else Flag.PASS,
        " ".join(message for message, _ in problems),
        {
            "box": lot.code,
            "expires_on": None if lot.expires_on is None else lot.expires_on.isoformat(),
            "blank_failed_on": None if lot.blank_failed_on is None else lot.blank_failed_on.isoformat(),
        },
        problems[0][1] if problems else "",
    )


CHECK = ReadingCheck(
    id="reagent-age",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    parameters=REAGENT_PARAMETERS | METERED_PARAMETERS,
)
