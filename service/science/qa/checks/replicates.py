"""Do the repeats of one reading in one visit agree as well as their kit can?

Repeats agree when all that the kit leaves open around one touches the other: on marks or even steps that is
one step apart. Titrators, meters and tubes may differ by a share of the reading as well, and plates by the
chance that rules small counts. pH and temperature have no natural zero, so no share of them means anything.

What differs from spot to spot by nature (depth, velocity) is no repeat, and two kits side by side are a
comparison of kits: neither is judged here.
"""

import math

from service.science.flags import Flag
from service.science.kit_reading import is_same
from service.science.precision import rpd
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import parameter_words, rounded_words, sentence, unit_words, written_words
from service.science.types import Censoring, Evidence, Finding, Kit, Reading, Visit
from service.science.units import convert_difference

VARIES_FROM_SPOT_TO_SPOT = frozenset({"water_depth", "current_velocity"})
WITHOUT_NATURAL_ZERO = frozenset({"ph", "water_temperature"})


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare a reading with the others of its parameter that were read with the same kit.

    Parameters
    ----------
    reading : value [unit of storage] with its bounds, and the kit
    visit : gives the other readings
    limits : ``percent_titrator``, ``percent_meter``, ``percent_tube`` [% of the mean of two],
        ``plate_deviations`` [standard deviations of a difference of two counts]; ``agree_within`` [unit of
        storage] where the parameter has one

    Returns
    -------
    Finding or None
        3 when it disagrees with more than half of the others, else 1; 2 with nothing to compare it with.
    """
    others = [
        other
        for other in visit.readings
        if other.parameter == reading.parameter and other.position != reading.position
    ]
    if not others:
        return None
    if reading.parameter in VARIES_FROM_SPOT_TO_SPOT:
        return None
    kit = reading.kit
    if kit is None:
        message = "Not compared with the other readings: how far apart they may be depends on the kit."
        return Finding(Flag.NOT_EVALUATED, message, advice="Name the kit that you read it with.")
    repeats = [other for other in others if other.kit is not None and other.kit.code == kit.code]
    if not repeats:
        return Finding(Flag.NOT_EVALUATED, "Not compared: the other readings are from another kit.")
    apart = [other for other in repeats if not _agree(reading, other, kit, limits)]
    evidence = _evidence(reading, (apart or repeats)[0], kit, limits)
    evidence = {**evidence, "repeats": len(repeats), "repeats_apart": len(apart)}
    if 2 * len(apart) <= len(repeats):
        return Finding(Flag.PASS, evidence=evidence)
    return _suspect(reading, apart[0], kit, evidence)


def _agree(first: Reading, second: Reading, kit: Kit, limits: Limits) -> bool:
    if kit.kind == "plate" and kit.step is not None:
        return _counts_agree(first, second, kit.step, limits["plate_deviations"])
    difference, allowed = abs(first.value - second.value), _allowed(first, second, kit, limits)
    return difference <= allowed or is_same(difference, allowed)


def _allowed(first: Reading, second: Reading, kit: Kit, limits: Limits) -> float:
    """Return how far apart two readings may be [unit of storage]."""
    lower, upper = sorted((first, second), key=lambda reading: reading.value)
    left_open = (lower.high - lower.value) + (upper.value - upper.low)
    percent = 0.0
    if first.parameter not in WITHOUT_NATURAL_ZERO:
        percent = limits.get(f"percent_{kit.kind}", 0.0)
    share = percent / 100 * (first.value + second.value) / 2
    return max(left_open, share, limits.get("agree_within", 0.0))


def _counts_agree(first: Reading, second: Reading, per_colony: float, deviations: float) -> bool:
    # Colonies fall on a plate by chance (Poisson): the variance of a difference of two counts is their sum.
    one, other = _colonies(first, per_colony), _colonies(second, per_colony)
    return (one - other) ** 2 <= deviations**2 * (one + other)


def _colonies(reading: Reading, per_colony: float) -> float:
    nearest_allowed = {Censoring.BELOW: -1, Censoring.ABOVE: 1, None: 0}[reading.censored]
    return reading.value / per_colony + nearest_allowed


def _evidence(reading: Reading, other: Reading, kit: Kit, limits: Limits) -> Evidence:
    compared = reading.censored is None and other.censored is None
    has_percent = compared and reading.parameter not in WITHOUT_NATURAL_ZERO
    allowed = math.inf if kit.kind == "plate" else _allowed(reading, other, kit, limits)
    return {
        "value": reading.value,
        "other_value": other.value,
        "unit": reading.unit,
        "kit": kit.code,
        "difference": round(abs(reading.value - other.value), 4) if compared else None,
        "difference_percent": round(rpd(reading.value, other.value), 4) if has_percent else None,
        "allowed_difference": None if math.isinf(allowed) else round(allowed, 4),
    }


def _suspect(reading: Reading, other: Reading, kit: Kit, evidence: Evidence) -> Finding:
    one, two = written_words(reading), written_words(other)
    allowed = evidence["allowed_difference"]
    rule = "differ by more than chance does on two plates of the same water"
    if isinstance(allowed, float):
        within = rounded_words(convert_difference(allowed, reading.unit, reading.written_unit))
        rule = f"are far apart: repeats with this kit ({kit.name}) agree within {within}"
        rule += unit_words(reading.written_unit)
    return Finding(
        Flag.SUSPECT,
        f"{sentence(parameter_words(reading.parameter))} {one} and {two} of the same visit {rule}.",
        evidence,
        f"Do it once more, step by step as the kit sheet says, and send that too: is it nearer {one} or "
        f"{two}? Two spots of a stream can truly differ (bank and middle, riffle and pool): if so, keep "
        "both and write down where each was.",
    )


CHECK = ReadingCheck(
    id="replicates",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("percent_titrator", "percent_meter", "percent_tube", "plate_deviations"),
)
