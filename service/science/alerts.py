"""What in a visit cannot wait until somebody looks at the register.

An alert asks the coordinator to look at once. It is no finding about the stream: the limits are wide, the
readings are of school kits, and local authorities and licensed practice decide what is done.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from service.science.gauging import waded_places
from service.science.qa.wording import (
    number_words,
    parameter_words,
    rounded_words,
    sentence,
    unit_words,
    written_words,
)
from service.science.scores.scorable import is_present
from service.science.types import Reading, Visit

NEEDS = ("oxygen_low", "ph_low", "ph_high", "wading_depth", "wading_depth_times_speed")
KEEP_AWAY = "Stay out of the water and keep others out. Do not touch the water and take no more samples."
FROM_THE_BANK = (
    "Stay out of the water and keep others out. Repeat the test only with water that you can draw from the "
    "bank."
)
CALL_FIRST = "Call the local authority first; the service cannot do that for you."
LEAVE_ALIVE = (
    "Take a sharp photograph, note the exact place, and leave the animal where it is unless told otherwise."
)
COME_OUT = (
    "Come out and stay out: where the water is above the knee of the smallest, or pushes at the legs, nobody "
    "wades. Measure from the bank or from a bridge, or leave it for a lower day."
)
LOCAL_RULE = (
    "The rules of your school and of the place come before these limits, also where they are stricter."
)
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
        all that its kit leaves open lies beyond the limit. ``wading_depth`` [m] and
        ``wading_depth_times_speed`` [m2/s] for where a gauging was made

    Returns
    -------
    tuple of Alert
        One of each kind at most, which tells everything of that kind.
    """
    by_kind: dict[str, Alert] = {}
    for alert in (
        *_of_conditions(visit),
        *_of_gauging(visit, limits),
        *_of_readings(visit, limits),
        *_of_catch(visit),
    ):
        first = by_kind.setdefault(alert.kind, alert)
        if alert.message not in first.message:
            by_kind[alert.kind] = replace(first, message=f"{first.message} {alert.message}")
    return tuple(by_kind.values())


def _of_conditions(visit: Visit) -> Iterator[Alert]:
    if visit.conditions.get("dead_fish"):
        yield Alert("fish-kill", "Dead or gasping fish were seen.", (KEEP_AWAY, CALL_FIRST))


def _of_gauging(visit: Visit, limits: Mapping[str, float]) -> Iterator[Alert]:
    """Give a caution for the place with the strongest push, and one for the deepest."""
    places = waded_places(visit.gauging) if visit.gauging else ()
    depth_m, speed_m_per_s = max(places, key=lambda place: place[0] * abs(place[1]), default=(0.0, 0.0))
    push_m2_per_s, most_m2_per_s = depth_m * abs(speed_m_per_s), limits["wading_depth_times_speed"]
    if push_m2_per_s > most_m2_per_s:
        message = (
            f"The flow was measured where water of {rounded_words(depth_m)} m ran at "
            f"{rounded_words(speed_m_per_s)} m/s: depth times speed is {rounded_words(push_m2_per_s)} m²/s, "
            f"and above {number_words(most_m2_per_s)} m²/s a class stays out."
        )
        yield Alert("deep-fast-water", message, (COME_OUT, LOCAL_RULE))
    deepest_m, most_m = max((depth for depth, _ in places), default=0.0), limits["wading_depth"]
    if deepest_m > most_m:
        message = (
            f"The flow was measured where the water was {rounded_words(deepest_m)} m deep: above "
            f"{number_words(most_m)} m a class stays out."
        )
        yield Alert("deep-fast-water", message, (COME_OUT, LOCAL_RULE))


def _of_readings(visit: Visit, limits: Mapping[str, float]) -> Iterator[Alert]:
    for reading in visit.readings:
        if reading.parameter == "dissolved_oxygen" and reading.high < limits["oxygen_low"]:
            message = _told(reading, "below", limits["oxygen_low"], "fish may be dying")
            yield Alert("very-low-oxygen", message, (FROM_THE_BANK, CALL_FIRST))
        if reading.parameter == "ph" and reading.high < limits["ph_low"]:
            message = _told(reading, "below", limits["ph_low"], "acid may have got in")
            yield Alert("extreme-ph", message, (FROM_THE_BANK, CALL_FIRST))
        if reading.parameter == "ph" and reading.low > limits["ph_high"]:
            message = _told(reading, "above", limits["ph_high"], "lye, lime or cement may have got in")
            yield Alert("extreme-ph", message, (FROM_THE_BANK, CALL_FIRST))


def _of_catch(visit: Visit) -> Iterator[Alert]:
    for tally in visit.catch.tallies if visit.catch else ():
        if tally.taxon is not None and tally.taxon.alert == "invasive" and is_present(tally):
            message = f"{tally.taxon.common_name} ({tally.taxon.name}) was reported: please confirm it."
            yield Alert("invasive-animal", sentence(message), (LEAVE_ALIVE, CLEAN_GEAR))


def _told(reading: Reading, side: str, limit: float, meaning: str) -> str:
    what = f"{sentence(parameter_words(reading.parameter))} {written_words(reading)}"
    return f"{what} is {side} {number_words(limit)}{unit_words(reading.unit)}: {meaning}."
