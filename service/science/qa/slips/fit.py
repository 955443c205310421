"""Would the visit be in order without the slip? It is checked again as it would have been handed in."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from service.science.flags import Flag
from service.science.qa.check import Check, Stage
from service.science.qa.engine import Assessment, CheckResult, LimitsFor, assess
from service.science.qa.slips.slip import Proposal
from service.science.types import Evidence, Reading, Visit

FITS_WITHIN = 2.0  # spreads from what is usual: 19 of 20 good readings lie there
HELD = frozenset({Flag.SUSPECT, Flag.FAIL})

Results = Sequence[CheckResult]


@dataclass(frozen=True, slots=True)
class Fit:
    """A proposal that brings a reading in order.

    ``distance`` is how far its numbers are from what the season leads one to expect [spreads], ``None`` where
    nobody knows; ``cleared`` the checks of the reading that now pass; ``in_order`` the positions of all
    readings that were held and no longer are.
    """

    distance: float | None
    cleared: frozenset[str]
    in_order: frozenset[int]


class Trial:
    """A visit that can be checked again without a slip."""

    def __init__(
        self, visit: Visit, found: Assessment, checks: Sequence[Check], limits_for: LimitsFor
    ) -> None:
        """Keep the visit, what was found, and as in ``assess`` the checks and their limits.

        A reading that failed by its number was not asked how it was taken; here it is, so that a bubble in
        the bottle is known before the number is changed.
        """
        self._visit, self._limits_for = visit, limits_for
        self._alone = [check for check in checks if check.stage in (Stage.SCALE, Stage.STATISTICS)]
        self._together = [check for check in checks if check.stage is not Stage.STATISTICS]
        self._found: dict[int, Results] = {reading.position: reading.results for reading in found.readings}
        beyond_scale = [check for check in self._together if check.stage is not Stage.SCALE]
        self._of_any_number = self._results(visit, beyond_scale)

    def fit(self, proposal: Proposal) -> Fit | None:
        """Return how well a proposal brings the visit in order.

        ``None`` when a changed reading is still held, another one is worse off, or the numbers do not fit the
        season. What a check says word for word of both numbers (the bubble) is not about them.
        """
        changed = {one.position: one for one in (proposal.meant, proposal.partner) if one is not None}
        # Most proposals fall here already: kit and past look at each reading alone.
        alone = self._results(replace(self._visit, readings=tuple(changed.values())), self._alone)
        distances = list(_season_distances(alone, changed))
        if any(distance > FITS_WITHIN for distance in distances):
            return None
        if any(self._is_held(position, results) for position, results in alone.items()):
            return None
        together = self._results(self._proposed(proposal, changed), self._together)
        if any(
            self._is_held(position, results) if position in changed else self._is_worse(position, results)
            for position, results in together.items()
        ):
            return None
        cleared = {
            position: _cleared(self._found[position], [*results, *alone.get(position, ())])
            for position, results in together.items()
        }
        own = cleared[proposal.meant.position]
        in_order = frozenset(position for position, checks_passed in cleared.items() if checks_passed)
        return Fit(max(distances, default=None), own, in_order) if own else None

    def _proposed(self, proposal: Proposal, changed: Mapping[int, Reading]) -> Visit:
        return replace(
            self._visit,
            readings=tuple(changed.get(reading.position, reading) for reading in self._visit.readings),
            conditions={**self._visit.conditions, **proposal.conditions},
        )

    def _results(self, visit: Visit, checks: Sequence[Check]) -> dict[int, Results]:
        found = assess(visit, checks, self._limits_for)
        return {reading.position: reading.results for reading in found.readings}

    def _is_held(self, position: int, new: Results) -> bool:
        said = {
            (result.check, result.finding.message)
            for result in (*self._found[position], *self._of_any_number[position])
        }
        return any(
            result.finding.flag in HELD and (result.check, result.finding.message) not in said
            for result in new
        )

    def _is_worse(self, position: int, new: Results) -> bool:
        before = {result.check: result.finding.flag for result in self._found[position]}
        return any(
            result.finding.flag in HELD and result.finding.flag > before.get(result.check, Flag.PASS)
            for result in new
        )


def _cleared(old: Results, new: Results) -> frozenset[str]:
    """Return the checks that held a reading and now pass; none, while one of them is left open."""
    said = {(result.check, result.finding.message) for result in new}
    flags = {result.check: result.finding.flag for result in new}
    held = {
        result.check
        for result in old
        if result.finding.flag in HELD and (result.check, result.finding.message) not in said
    }
    return frozenset(held) if all(flags.get(check) is Flag.PASS for check in held) else frozenset()


def _season_distances(past: Mapping[int, Results], changed: Mapping[int, Reading]) -> Iterator[float]:
    for position, reading in changed.items():
        distances = (season_distance(result.finding.evidence, reading.value) for result in past[position])
        yield from (distance for distance in distances if distance is not None)


def season_distance(evidence: Evidence, value: float) -> float | None:
    """Return how far a value is from what a check of the season leads one to expect [spreads].

    By the past of the site, or its neighbours of the week where they fit better; else by the latitude, whose
    wide span counts as ``FITS_WITHIN``. ``None`` from a check that knows of no season.
    """
    own, residual = evidence.get("z_own"), evidence.get("z_residual")
    if isinstance(own, float):
        return min(own, residual) if isinstance(residual, float) else own
    expected_c, highest_c = evidence.get("expected_c"), evidence.get("highest_c")
    if isinstance(expected_c, float) and isinstance(highest_c, float):
        return FITS_WITHIN * abs(value - expected_c) / (highest_c - expected_c)
    return None
