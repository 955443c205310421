"""What in a visit cannot wait until somebody looks at the register.

An alert asks the coordinator to look at once. It is no finding about the stream: the limits are wide, the
readings are of school kits, and local authorities and licensed practice decide what is done.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from service.science.qa.wording import number_words, parameter_words, unit_words, written_words
from service.science.types import Reading, Visit

NEEDS = ("oxygen_low", "ph_low", "ph_high")
KEEP_AWAY = "Stay out of the water and keep others out. Do not touch the water and take no more samples."
CALL_FIRST = "Call the local authority first; the service cannot do that for you."
LEAVE_ALIVE = "Take a sharp photograph, note the exact place, and leave the animal where it is unless told otherwise."
CLEAN_GEAR = "Check, clean and dry nets, boots and pans before they go to any other water."


@dataclass(frozen=True, slots=True)
class Alert:
    """Something the coordinator must hear of at once, with the cautions for whoever is at the stream."""

    kind: str
    message: str
    cautions: tuple[str, ...]


def raise_alerts(visit: Visit, limits: Mapping[str, float]) -> tuple[Alert, ...]:
    """Return the alerts of a visit; readings that failed a check are not in it.

    Parameters
    ----------
    visit : its readings, catch and conditions
    limits : ``oxygen_low`` [mg/L], ``ph_low`` and ``ph_high`` [std units]; a reading raises an alert only if
        all that its kit leaves open lies beyond the limit

    Returns
    -------
    tuple of Alert
        One of each kind at most.
    """
    return tuple({alert.kind: alert for alert in _all(visit, limits)}.values())


def _all(visit: Visit, limits: Mapping[str, float]) -> Iterator[Alert]:
    if visit.conditions.get("dead_fish"):
        yield Alert("fish-kill", "Dead or gasping fish were seen.", (KEEP_AWAY, CALL_FIRST))
    for reading in visit.readings:
        if reading.parameter == "dissolved_oxygen" and reading.high < limits["oxygen_low"]:
            message = _told(reading, f"below {_limit(limits['oxygen_low'], reading)}: fish may be dying")
            yield Alert("very-low-oxygen", message, (KEEP_AWAY, CALL_FIRST))
        if reading.parameter == "ph" and reading.high < limits["ph_low"]:
            message = _told(reading, f"below {_limit(limits['ph_low'], reading)}: acid may have got in")
            yield Alert("extreme-ph", message, (KEEP_AWAY, CALL_FIRST))
        if reading.parameter == "ph" and reading.low > limits["ph_high"]:
            message = _told(reading, f"above {_limit(limits['ph_high'], reading)}: lye, lime or cement may have")
            yield Alert("extreme-ph", f"{message} got in.", (KEEP_AWAY, CALL_FIRST))
    for tally in visit.catch.tallies if visit.catch else ():
        if tally.taxon is not None and tally.taxon.alert == "invasive" and (tally.count or tally.abundance):
            message = f"{tally.taxon.common_name} ({tally.taxon.name}) was reported: please confirm it."
            yield Alert("invasive-animal", message, (LEAVE_ALIVE, CLEAN_GEAR))


def _limit(value: float, reading: Reading) -> str:
    return f"{number_words(value)}{unit_words(reading.unit)}"


def _told(reading: Reading, rest: str) -> str:
    return f"{parameter_words(reading.parameter).capitalize()} {written_words(reading)} is {rest}"
