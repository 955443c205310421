"""Did the blank come out clean? A colour or a number from clean water tells of spoilt reagents or glass.

A colour either shows or does not, so on a card, strip or plate any mark counts. A titration needs its first
drop or division to show anything at all, and a meter has an accuracy: there the whole interval must be above
what is clean.
"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.wording import number_words, parameter_words, sentence, unit_words, written_words
from service.science.types import Censoring, Finding, Reading, Visit, VisitKind

ABSENT_FROM_CLEAN_WATER = frozenset(
    {
        "nitrate",
        "nitrite",
        "ammonia",
        "phosphate",
        "alkalinity",
        "hardness",
        "chloride",
        "salinity",
        "specific_conductance",
        "conductivity",
        "calcium",
        "magnesium",
        "turbidity",
        "e_coli",
    }
)
COLOUR_KINDS = frozenset({"comparator", "strip", "plate"})
ADVICE = (
    "Rinse the bottle and the tube three times with distilled water and repeat the blank. If it is the same "
    "again, take another box, and tell your coordinator: readings made with this one are in doubt."
)


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare a reading of clean water with what is clean.

    Parameters
    ----------
    reading : value [unit of storage] of distilled water that was treated like a sample
    visit : tells whether this is a blank
    limits : ``clean_up_to`` [unit of storage], inclusive

    Returns
    -------
    Finding or None
        3 when something shows, 1 when nothing does, 2 for what a blank says nothing about (clean water has a
        temperature and oxygen too) and for visits that are no blank.
    """
    if visit.kind is not VisitKind.FIELD_BLANK:
        return None
    if reading.parameter not in ABSENT_FROM_CLEAN_WATER:
        return None
    clean = limits["clean_up_to"]
    evidence = {"value": reading.value, "censored": reading.censored, "clean_up_to": clean}
    if not _shows_more_than(clean, reading):
        return Finding(Flag.PASS, evidence=evidence)
    told = sentence(f"{parameter_words(reading.parameter)} {written_words(reading)}")
    expected = f"at most {number_words(clean)}{unit_words(reading.unit)}" if clean else "nothing"
    message = f"{told} in a blank: clean water shows {expected}, so the reagents or the bottle are not clean."
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


def _shows_more_than(clean: float, reading: Reading) -> bool:
    if reading.censored is not None:
        return reading.censored is Censoring.ABOVE and reading.value >= clean
    by_colour = reading.kit is not None and reading.kit.kind in COLOUR_KINDS
    return (reading.value if by_colour else reading.low) > clean


CHECK = ReadingCheck(
    id="clean-blank",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("clean_up_to",),
    for_blanks=True,
)
