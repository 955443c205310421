"""Do the animals and the oxygen agree? Where there is hardly any oxygen, the most sensitive are gone.

Stoneflies, and the mayflies and caddisflies of the lowest tolerance values, take their oxygen out of running
water. Other animals of low tolerance are left alone: some of them can fetch air at the surface.
"""

import math
from collections.abc import Iterator

from service.science.catch import Catch, Tally
from service.science.derived.oxygen_saturation import oxygen_saturation_of
from service.science.flags import Flag
from service.science.qa.catch_part import fewest_animals, names_written, present
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.qa.wording import number_words, rounded_words
from service.science.types import Finding, Visit

ADULT = "adult"
STONEFLIES = "Plecoptera"
ADVICE = (
    "Repeat the oxygen test: take the water from the flow, dissolve everything and wait the full time of the "
    "kit. Then look at the animals again: a stonefly nymph has two tails and two claws on each foot, most "
    "mayfly nymphs have three tails and gills along the belly. Send what changed; if nothing did, tell your "
    "coordinator."
)
ADVICE_OXYGEN = (
    "Next time measure oxygen and water temperature too: then animals and numbers can be compared."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Compare the animals that need much oxygen with the oxygen readings of the visit.

    Parameters
    ----------
    visit : its catch, oxygen readings and water temperature
    limits : ``tolerance_most`` [0 to 10], up to which a mayfly or caddisfly needs much oxygen;
        ``animals_min`` [animals], from how many on they count; ``percent_enough`` [%], below which they
        hardly ever live

    Returns
    -------
    Finding or None
        3 when they are there and all that the oxygen readings leave open lies below ``percent_enough``; 2
        when they are there and oxygen or temperature is missing; else 1; ``None`` without a catch.
    """
    if visit.catch is None:
        return None
    sensitive = _sensitive(visit.catch, limits["tolerance_most"])
    animals = sum(fewest_animals(tally.count, tally.abundance) for tally in sensitive)
    highest = max(_highest_percents(visit), default=None)
    evidence = {
        "sensitive_animals": animals,
        "percent_to": None if highest is None or math.isinf(highest) else round(highest, 1),
        "percent_enough": limits["percent_enough"],
    }
    if animals < limits["animals_min"]:
        return Finding(Flag.PASS, evidence=evidence)
    told = f"Animals that need much oxygen: {animals} ({names_written(sensitive)})"
    if highest is None:
        message = f"{told}. There is no oxygen reading with a water temperature to compare them with."
        return Finding(Flag.NOT_EVALUATED, message, evidence, ADVICE_OXYGEN)
    if highest >= limits["percent_enough"]:
        return Finding(Flag.PASS, evidence=evidence)
    message = (
        f"{told}. They hardly ever live below {number_words(limits['percent_enough'])} % of the oxygen that "
        f"the water can hold, but the reading is at most {rounded_words(highest)} %: one of the two is wrong."
    )
    return Finding(Flag.SUSPECT, message, evidence, ADVICE)


def _sensitive(catch: Catch, tolerance_most: float) -> list[Tally]:
    return [tally for tally in present(catch) if _needs_oxygen(tally, tolerance_most)]


def _needs_oxygen(tally: Tally, tolerance_most: float) -> bool:
    taxon = tally.taxon
    if taxon is None or not taxon.ept or tally.life_stage == ADULT:
        return False
    return taxon.order == STONEFLIES or (taxon.tolerance is not None and taxon.tolerance <= tolerance_most)


def _highest_percents(visit: Visit) -> Iterator[float]:
    """Yield for each oxygen reading the highest percent of saturation that it leaves open."""
    for reading in visit.readings:
        if reading.parameter == "dissolved_oxygen_saturation":
            yield reading.high
        elif reading.parameter == "dissolved_oxygen":
            percent = oxygen_saturation_of(reading, visit)
            if percent is not None:
                yield percent.high


CHECK = VisitCheck(
    id="catch-sensitive-animals",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=("tolerance_most", "animals_min", "percent_enough"),
    of_catch=True,
)
