"""Check a visit, and for what is held name the slip of the trade that explains it. Nothing is changed."""

from collections.abc import Sequence
from dataclasses import replace

from service.science.flags import Flag
from service.science.qa.check import Check, ReadingCheck
from service.science.qa.checks import visit_clock
from service.science.qa.engine import Assessment, CheckResult, LimitsFor, ReadingAssessment, assess
from service.science.qa.slips import visit_date
from service.science.qa.slips.explain import Explanation, likely_slip
from service.science.qa.slips.fit import HELD, Trial
from service.science.types import Finding, LikelySlip, Visit


def assess_with_slips(visit: Visit, checks: Sequence[Check], limits_for: LimitsFor) -> Assessment:
    """Check a visit as :func:`service.science.qa.engine.assess` does, and name likely slips.

    A slip stands with the worst finding that it explains, whose advice then begins with a question about it.
    Flags and values stay as they were. A reading of which a check names a slip itself is left alone.
    """
    found = assess(visit, checks, limits_for)
    if found.flag not in HELD:
        return found
    explained = _explain_readings(visit, found, checks, limits_for)
    return replace(
        found,
        readings=tuple(
            _with_slip(reading, explained[reading.position]) if reading.position in explained else reading
            for reading in found.readings
        ),
        visit_results=_explain_date(visit, found, checks, limits_for),
    )


def _explain_readings(
    visit: Visit, found: Assessment, checks: Sequence[Check], limits_for: LimitsFor
) -> dict[int, Explanation]:
    """Return the explanations by position, without those of readings that another one's slip explains."""
    of_readings = [check for check in checks if isinstance(check, ReadingCheck)]
    trial = Trial(visit, found, of_readings, limits_for)
    explained = {}
    for reading, assessed in zip(visit.readings, found.readings, strict=True):
        if assessed.flag not in HELD or any(result.finding.likely_slip for result in assessed.results):
            continue
        explanation = likely_slip(reading, assessed, visit, trial.fit)
        if explanation is not None:
            explained[reading.position] = explanation
    return {
        position: explanation
        for position, explanation in explained.items()
        if not any(
            position in _clears(other) and other_position not in _clears(explanation)
            for other_position, other in explained.items()
        )
    }


def _clears(explanation: Explanation) -> frozenset[int]:
    return frozenset() if explanation.fit is None else explanation.fit.in_order


def _with_slip(assessed: ReadingAssessment, explanation: Explanation) -> ReadingAssessment:
    """Put the slip to the worst finding that it explains."""
    cleared = None if explanation.fit is None else explanation.fit.cleared
    held = [
        result
        for result in assessed.results
        if result.finding.flag in HELD and (cleared is None or result.check in cleared)
    ]
    worst = max(held, key=lambda result: result.finding.flag)
    marked = replace(worst, finding=_asking(worst.finding, explanation.slip, explanation.question))
    results = tuple(marked if result is worst else result for result in assessed.results)
    return replace(assessed, results=results)


def _explain_date(
    visit: Visit, found: Assessment, checks: Sequence[Check], limits_for: LimitsFor
) -> tuple[CheckResult, ...]:
    """Ask about day and month where the date of the visit cannot be right and the other way round can."""
    results = found.visit_results
    meant = visit_date.day_and_month_exchanged(visit) if _clock_failed(found) else None
    if meant is None:
        return results
    again = assess(meant, checks, limits_for)
    if _clock_failed(again) or any(
        new.flag in HELD and new.flag > old.flag
        for old, new in zip(found.readings, again.readings, strict=True)
    ):
        return results
    slip, question = LikelySlip(visit_date.KIND, None), visit_date.question(meant)
    return tuple(
        replace(result, finding=_asking(result.finding, slip, question))
        if result.check == visit_clock.CHECK.id
        else result
        for result in results
    )


def _clock_failed(found: Assessment) -> bool:
    return any(
        result.check == visit_clock.CHECK.id and result.finding.flag is Flag.FAIL
        for result in found.visit_results
    )


def _asking(finding: Finding, slip: LikelySlip, question: str) -> Finding:
    return replace(finding, likely_slip=slip, advice=f"{question} {finding.advice}".strip())
