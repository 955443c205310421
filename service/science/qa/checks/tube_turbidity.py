"""Do the transparency tube and the turbidity meter tell the same story of the same water?

Neither is turned into the other: published relations lie apart by a factor of 2 and more. Only what no
relation allows is suspect: a clear tube beside a cloudy meter, or a cloudy tube beside a clear meter.
"""

from collections.abc import Sequence

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, written_words
from service.science.types import Evidence, Finding, Reading, Visit

OTHER = {"transparency": "turbidity", "turbidity": "transparency"}


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare a depth in the tube with a turbidity of the same visit.

    Parameters
    ----------
    reading : transparency [cm] or turbidity [NTU] with its bounds; a full tube is "more than its length", so
        a full tube of 60 cm says nothing of 120 cm
    visit : gives the readings of the other one
    limits : ``clear_cm``, ``cloudy_cm`` [cm], ``parting_ntu`` [NTU], which parts clear from cloudy

    Returns
    -------
    Finding or None
        3 when all that both leave open is on opposite sides, for every reading of the other one; 2 where the
        other one was not read; else 1.
    """
    others = [other for other in visit.readings if other.parameter == OTHER[reading.parameter]]
    if not others:
        return None
    is_tube = reading.parameter == "transparency"
    pairs = [(reading, other) if is_tube else (other, reading) for other in others]
    tube, meter = pairs[0]
    evidence: Evidence = {
        "transparency_cm": tube.value,
        "transparency_censored": tube.censored,
        "turbidity_ntu": meter.value,
        "turbidity_censored": meter.censored,
        **limits,
    }
    if _all_clear_in_the_tube_alone(pairs, limits):
        where = f"where the disk is seen through {number_words(limits['clear_cm'])} cm of water"
        return _suspect(tube, meter, f"{where}, a meter hardly ever shows more than", evidence, limits)
    if _all_cloudy_in_the_tube_alone(pairs, limits):
        where = f"where the disk is gone before {number_words(limits['cloudy_cm'])} cm"
        return _suspect(tube, meter, f"{where}, a meter hardly ever shows less than", evidence, limits)
    return Finding(Flag.PASS, evidence=evidence)


def _all_clear_in_the_tube_alone(pairs: Sequence[tuple[Reading, Reading]], limits: Limits) -> bool:
    return all(tube.low >= limits["clear_cm"] and meter.low > limits["parting_ntu"] for tube, meter in pairs)


def _all_cloudy_in_the_tube_alone(pairs: Sequence[tuple[Reading, Reading]], limits: Limits) -> bool:
    return all(
        tube.high < limits["cloudy_cm"] and meter.high < limits["parting_ntu"] for tube, meter in pairs
    )


def _suspect(tube: Reading, meter: Reading, rule: str, evidence: Evidence, limits: Limits) -> Finding:
    depth, turbidity = written_words(tube), written_words(meter)
    return Finding(
        Flag.SUSPECT,
        f"Transparency {depth} does not fit turbidity {turbidity}: {rule} "
        f"{number_words(limits['parting_ntu'])} NTU.",
        evidence,
        "Mix the water and do both again: the tube in the shade, the meter with a glass that is dry outside "
        "and has no bubbles inside. Look at the decimal point and the unit of each. If you get "
        f"{depth} and {turbidity} again, keep both.",
    )


CHECK = ReadingCheck(
    id="tube-turbidity",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("clear_cm", "cloudy_cm", "parting_ntu"),
    parameters=frozenset(OTHER),
)
