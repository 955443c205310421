"""British family score (BMWP) and its average per scoring family (ASPT).

Each family of a British list that is present earns its score once. It is a teaching and comparison index:
families that do not live in Britain have no score, so a North American catch scores low.

Reference
---------
Armitage, P.D., Moss, D., Wright, J.F. & Furse, M.T. 1983. The performance of a new biological water quality
score system based on macroinvertebrates over a wide range of unpolluted running-water sites. Water Research
17:333-347.
"""

from service.science.catch import Catch, ScoringUse, Taxon
from service.science.scores.index import Definition, Index, Score
from service.science.scores.points import Unit, lines_left_out, score_points
from service.science.scores.scorable import ScorableLine, is_present, scorable
from service.science.scores.standing import NEEDS

_ABOVE_FAMILY = frozenset({"order", "suborder", "class", "subclass", "phylum"})

SPAN = (1.0, 10.0)  # fewest and most points of the list


def bmwp(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the sum of the scores of the British families present, each once.

    A newer family that the list holds together with an older one scores once with it. A family without a
    score is never lent a relative's, and a record coarser than a family cannot be scored. Animals that this
    service only records (of the surface, air-breathing, protected) are left out, though the list scores some.

    Parameters
    ----------
    catch : Catch
        Counts, or letters R, C, D, P: only presence counts.
    definition : Definition
        Bands, decimals, and the constants of ``standing.NEEDS``.
    seed : int
        Seed of the draws.

    Returns
    -------
    Score
        Value [points], 0 for an empty net.

    Reference
    ---------
    Armitage et al. 1983, as in the heading of this module.
    """
    return score_points(
        catch, definition, seed, unit_of=_family, as_mean=False, span=SPAN, reasons=_reasons(catch)
    )


def aspt(catch: Catch, definition: Definition, seed: int) -> Score:
    """Return the sum of :func:`bmwp` divided by the number of scoring families, without a band.

    Families without a score are not in the divisor: with them it would fall for every animal that Britain
    lacks. Bands differ by author, so none is given.

    Parameters
    ----------
    catch : Catch
        Counts, or letters R, C, D, P: only presence counts.
    definition : Definition
        Decimals, and the constants of ``standing.NEEDS``.
    seed : int
        Seed of the draws.

    Returns
    -------
    Score
        Value 1 to 10 [points per family].

    Reference
    ---------
    Armitage et al. 1983, as in the heading of this module.
    """
    return score_points(
        catch, definition, seed, unit_of=_family, as_mean=True, span=SPAN, reasons=_reasons(catch)
    )


def _family(line: ScorableLine) -> Unit | None:
    return _unit_of(line.taxon)


def _unit_of(taxon: Taxon) -> Unit | None:
    return None if taxon.bmwp is None else Unit(taxon.bmwp_unit or taxon.name, taxon.bmwp)


def _reasons(catch: Catch) -> tuple[str, ...]:
    without = [line for line in scorable(catch) if _family(line) is None]
    coarse = [line for line in without if _is_coarse(line.taxon)]
    foreign = [line for line in without if not _is_coarse(line.taxon)]
    return (
        *lines_left_out(catch, coarse, "too coarse for a family score, name the family if you can"),
        *lines_left_out(catch, foreign, "not on the British list, so in neither sum nor divisor"),
        *_only_recorded(catch),
    )


def _is_coarse(taxon: Taxon) -> bool:
    return taxon.scoring_use is ScoringUse.COARSE or taxon.rank in _ABOVE_FAMILY


def _only_recorded(catch: Catch) -> tuple[str, ...]:
    taxa = (tally.taxon for tally in catch.tallies if tally.taxon is not None and is_present(tally))
    recorded = (taxon for taxon in taxa if taxon.scoring_use is ScoringUse.RECORD_ONLY)
    units = {unit for taxon in recorded if (unit := _unit_of(taxon)) is not None}
    if not units:
        return ()
    names = ", ".join(sorted(f"{unit.name} ({unit.points})" for unit in units))
    return (f"the British list would also score {names}; here such animals are only recorded",)


BMWP = Index("bmwp", bmwp, NEEDS)
ASPT = Index("aspt", aspt, NEEDS)
