"""Did the class stop counting at a round number? Then the small animals may still be in the pan."""

from service.science.catch import Catch, CountScheme
from service.science.flags import Flag
from service.science.qa.catch_part import present
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.types import Finding, Visit

SMALL_KINDS = frozenset({"midge larva", "black fly larva", "aquatic worm"})
ROUND_NUMBERS = ("round_number_1", "round_number_2", "round_number_3")
ADVICE = (
    "Next time do not stop at a number: pick everything out of one square of the pan, then of another, and "
    "finish the square that you are in. Look long for what is small and pale."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Look for a catch that ends at a round number and holds nothing small.

    Parameters
    ----------
    visit : its catch, in counts
    limits : ``round_number_1`` to ``round_number_3`` [animals], at which classes like to stop

    Returns
    -------
    Finding or None
        1, with a word where it is so: a count of exactly 100 may be honest, so this never holds a visit;
        ``None`` without a catch and for letters.
    """
    if visit.catch is None or visit.catch.scheme is not CountScheme.COUNTS:
        return None
    animals = sum(tally.count or 0 for tally in present(visit.catch))
    evidence = {"animals": animals}
    if animals not in {limits[name] for name in ROUND_NUMBERS} or _may_hold_small_ones(visit.catch):
        return Finding(Flag.PASS, evidence=evidence)
    message = (
        f"The catch has exactly {animals} animals, and no midge, black fly or worm is among them. If you "
        f"stopped counting at {animals}, small animals stayed behind, and large ones look too common."
    )
    return Finding(Flag.PASS, message, evidence, ADVICE)


def _may_hold_small_ones(catch: Catch) -> bool:
    return any(tally.taxon is None or tally.taxon.kind in SMALL_KINDS for tally in present(catch))


CHECK = VisitCheck(
    id="catch-round-number",
    version=1,
    stage=Stage.CONSISTENCY,
    run=run,
    needs=ROUND_NUMBERS,
    of_catch=True,
)
