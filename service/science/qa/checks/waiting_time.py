"""Was the colour read at its time: not before it was there, and not after it had gone on changing?"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.reagents import REAGENT_PARAMETERS
from service.science.qa.wording import number_words
from service.science.types import Finding, Kit, Reading, Visit

ADVICE_NOTE = "Next time look at a watch and write down how many minutes you waited."
ADVICE_EARLY = (
    "If the tube still stands, read it again when the time is up. Else repeat the test and wait the full "
    "time: a colour that is read too early is too pale."
)
ADVICE_LATE = "Repeat the test and read it in time: the colour goes on changing after that."


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare the minutes that the class waited with the window of the kit.

    Parameters
    ----------
    reading : its kit gives the window; ``procedure["minutes_waited"]`` [min]
    visit : not used; a single reading is enough
    limits : not used; the window of the kit, both ends inclusive, is the limit

    Returns
    -------
    Finding or None
        3 read too early or too late, 1 in the window, 2 when nobody noted the time or the kit has no window.
    """
    kit = reading.kit
    if kit is None or (kit.wait_minutes_min is None and kit.wait_minutes_max is None):
        return None
    window = _window_words(kit)
    minutes = reading.procedure.get("minutes_waited")
    if not isinstance(minutes, int | float):
        message = f"This kit is read after {window}, and it was not noted how long you waited."
        return Finding(Flag.NOT_EVALUATED, message, _evidence(kit, None), ADVICE_NOTE)
    told = f"You read it after {_minutes_words(minutes)}; this kit is read after {window}."
    if kit.wait_minutes_min is not None and minutes < kit.wait_minutes_min:
        return Finding(Flag.SUSPECT, f"Too early. {told}", _evidence(kit, minutes), ADVICE_EARLY)
    if kit.wait_minutes_max is not None and minutes > kit.wait_minutes_max:
        return Finding(Flag.SUSPECT, f"Too late. {told}", _evidence(kit, minutes), ADVICE_LATE)
    return Finding(Flag.PASS, evidence=_evidence(kit, minutes))


def _window_words(kit: Kit) -> str:
    shortest, longest = kit.wait_minutes_min, kit.wait_minutes_max
    if shortest is not None and shortest == longest:
        return f"exactly {_minutes_words(shortest)}"
    ends = []
    if shortest is not None:
        ends.append(f"at least {_minutes_words(shortest)}")
    if longest is not None:
        ends.append(f"at most {_minutes_words(longest)}")
    return " and ".join(ends)


def _minutes_words(minutes: float) -> str:
    return f"{number_words(minutes)} minute{'' if minutes == 1 else 's'}"


def _evidence(kit: Kit, minutes: float | None) -> dict[str, float | str | None]:
    return {
        "kit": kit.code,
        "minutes_waited": minutes,
        "wait_minutes_min": kit.wait_minutes_min,
        "wait_minutes_max": kit.wait_minutes_max,
    }


CHECK = ReadingCheck(
    id="waiting-time", version=1, stage=Stage.CONSISTENCY, run=run, parameters=REAGENT_PARAMETERS
)
