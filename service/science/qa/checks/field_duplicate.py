"""Do a routine visit and the field duplicate of its site and day agree? The later one to arrive is asked.

Two samples of one stream on one morning agree as well as their kit can tell: by steps, and for titrations,
meters and counts by a share of the reading. Without a kit only a wide difference says something. A duplicate
that is far off was often made at another place.
"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, parameter_words, sentence, unit_words, written_words
from service.science.types import Censoring, Evidence, Finding, PastReading, Reading, Visit, VisitKind

ADVICE = (
    "Look at the label of the duplicate and at the site it was sent for: is it of this place and day? If "
    "both numbers are right, keep both: the difference tells how exact such readings are."
)


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare a reading with those of its duplicate, or of the visit that it duplicates.

    Parameters
    ----------
    reading : value [unit of storage] with its bounds
    visit : gives the readings of the other kind of the same site and day
    limits : ``percent_titrator``, ``percent_meter``, ``percent_tube``, ``percent_tray``, ``percent_plate``
        [% of the mean of two]; without a kit ``within`` [unit of storage] and ``percent_without_kit`` [%]

    Returns
    -------
    Finding or None
        3 when the nearest of the others with the same kit is further away than both allow, else 1; 2 for a
        duplicate that has nothing to be compared with. ``None`` for a visit without a duplicate.
    """
    is_duplicate = visit.kind is VisitKind.FIELD_REPLICATE
    if not is_duplicate and not visit.same_day.get(reading.parameter):
        return None
    kit = reading.kit.code if reading.kit else None
    repeated = [other for other in visit.same_day.get(reading.parameter, ()) if other.kit == kit]
    if not repeated:
        message = "Not compared: no other reading of this site and day with the same kit is stored yet."
        return Finding(Flag.NOT_EVALUATED, message)
    allowed_by_kit = _allowed(reading, limits)
    if allowed_by_kit is None:
        message = "Not compared: how far apart duplicates may be depends on the kit."
        return Finding(Flag.NOT_EVALUATED, message, advice="Name the kit that you read it with.")
    nearest = min(repeated, key=lambda other: _distance(reading, other))
    share, width = allowed_by_kit
    allowed = max(width, share / 100 * (reading.value + nearest.value) / 2)
    distance = _distance(reading, nearest)
    evidence: Evidence = {
        "value": reading.value,
        "other_value": nearest.value,
        "unit": reading.unit,
        "difference": round(distance, 4),
        "allowed_difference": round(allowed, 4),
        "compared_with": len(repeated),
    }
    if distance <= allowed * (1 + 1e-9):
        return Finding(Flag.PASS, evidence=evidence)
    other = f"{nearest.censored or ''}{number_words(round(nearest.value, 4))}{unit_words(reading.unit)}"
    of_other = "the visit that it repeats" if is_duplicate else "its duplicate"
    message = (
        f"{sentence(parameter_words(reading.parameter))} {written_words(reading)} is far from the {other} of "
        f"{of_other}; such readings agree within {number_words(round(allowed, 2))}{unit_words(reading.unit)}."
    )
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


def _allowed(reading: Reading, limits: Limits) -> tuple[float, float] | None:
    """Return the share of the mean [%] and the width [unit of storage] by which two may differ."""
    if reading.kit is None:
        within, percent = limits.get("within"), limits.get("percent_without_kit")
        return None if within is None and percent is None else (percent or 0.0, within or 0.0)
    left_open = reading.high - reading.low if reading.censored is None else 0.0
    return limits.get(f"percent_{reading.kit.kind}", 0.0), left_open


def _distance(reading: Reading, other: PastReading) -> float:
    """Return the least distance that the two can truly have, given what is censored."""
    above, below = reading.value - other.value, other.value - reading.value
    if reading.censored is Censoring.BELOW or other.censored is Censoring.ABOVE:
        above = 0.0
    if reading.censored is Censoring.ABOVE or other.censored is Censoring.BELOW:
        below = 0.0
    return max(above, below, 0.0)


CHECK = ReadingCheck(
    id="field-duplicate",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("percent_titrator", "percent_meter", "percent_tube", "percent_tray", "percent_plate"),
)
