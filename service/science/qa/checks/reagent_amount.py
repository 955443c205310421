"""Did the test get as many tablets and as much water as its kit is made for?"""

from service.science.flags import Flag
from service.science.qa.check import Limits, ReadingCheck, Stage
from service.science.qa.reagents import REAGENT_PARAMETERS
from service.science.qa.wording import number_words
from service.science.types import Evidence, Finding, Kit, Reading, Visit


def run(reading: Reading, visit: Visit, limits: Limits) -> Finding | None:
    """Compare the tablets and the water that the class noted with those of the kit.

    Parameters
    ----------
    reading : its kit gives tablets and water; ``procedure["tablets"]``, ``procedure["sample_ml"]`` [mL]
    visit : not used; a single reading is enough
    limits : ``sample_tolerance_percent`` [% of the kit's water], inclusive

    Returns
    -------
    Finding or None
        3 when one differs, 1 when all that the kit is made for was noted and fits, 2 when some of it was not
        noted, or the kit counts neither.
    """
    kit = reading.kit
    if kit is None or (kit.tablets is None and kit.sample_ml is None):
        return None
    tablets, water_ml = _noted(reading, "tablets"), _noted(reading, "sample_ml")
    evidence: Evidence = {
        "kit": kit.code,
        "tablets": tablets,
        "kit_tablets": kit.tablets,
        "sample_ml": water_ml,
        "kit_sample_ml": kit.sample_ml,
    }
    wrong = []
    if kit.tablets is not None and tablets is not None and tablets != kit.tablets:
        wrong.append(_tablets_words(tablets))
    tolerance_ml = (kit.sample_ml or 0.0) * limits["sample_tolerance_percent"] / 100
    if kit.sample_ml is not None and water_ml is not None and abs(water_ml - kit.sample_ml) > tolerance_ml:
        wrong.append(f"{number_words(water_ml)} mL of water")
    right = _recipe_words(kit)
    if wrong:
        message = f"You took {' and '.join(wrong)}; this kit wants {right}."
        return Finding(Flag.SUSPECT, message, evidence, f"Repeat the test with {right}.")
    if (kit.tablets is not None and tablets is None) or (kit.sample_ml is not None and water_ml is None):
        return Finding(Flag.NOT_EVALUATED, f"This kit wants {right}; not all of it was noted.", evidence)
    return Finding(Flag.PASS, evidence=evidence)


def _noted(reading: Reading, what: str) -> float | None:
    amount = reading.procedure.get(what)
    return amount if isinstance(amount, int | float) else None


def _recipe_words(kit: Kit) -> str:
    parts = []
    if kit.tablets is not None:
        parts.append(_tablets_words(kit.tablets))
    if kit.sample_ml is not None:
        parts.append(f"{number_words(kit.sample_ml)} mL of water")
    return " to ".join(parts)


def _tablets_words(count: float) -> str:
    return "one tablet" if count == 1 else f"{number_words(count)} tablets"


CHECK = ReadingCheck(
    id="reagent-amount",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("sample_tolerance_percent",),
    parameters=REAGENT_PARAMETERS,
)
