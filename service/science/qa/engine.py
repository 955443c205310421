"""Run the checks over a visit, in order, and roll their answers up to one flag a reading and one a visit."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from service.science.flags import Flag, roll_up
from service.science.qa.check import Check, Limits, ReadingCheck, Stage, VisitCheck
from service.science.qa.wording import parameter_words
from service.science.types import Finding, Reading, Visit, VisitKind

EVERY_PARAMETER = "*"

LimitsFor = Callable[[str, str], Limits]


@dataclass(frozen=True, slots=True)
class CheckResult:
    """What one check, in one version, answered."""

    check: str
    version: int
    finding: Finding


@dataclass(frozen=True, slots=True)
class ReadingAssessment:
    """All answers about one reading, in the order of the checks, and the flag they roll up to."""

    position: int
    results: tuple[CheckResult, ...]
    flag: Flag


@dataclass(frozen=True, slots=True)
class Assessment:
    """All answers about a visit. ``readings`` are in the order of the visit's readings."""

    readings: tuple[ReadingAssessment, ...]
    visit_results: tuple[CheckResult, ...]
    flag: Flag


def assess(visit: Visit, checks: Sequence[Check], limits_for: LimitsFor) -> Assessment:
    """Check a visit stage by stage; a reading that failed is kept out of sight of the later stages.

    Parameters
    ----------
    visit : the visit, its readings interpreted by their kits
    checks : the checks to run; within a stage they run in the order given
    limits_for : gives the limits of a check for a parameter; asked with ``*`` for a check of the visit

    Returns
    -------
    Assessment
        A check that does not serve a reading's parameter, or does not concern it, leaves no answer there. A
        check whose limits are not set, or whose reading failed an earlier stage, answers "not evaluated" and
        says why.
    """
    if visit.kind is VisitKind.FIELD_BLANK:
        checks = [check for check in checks if check.for_blanks]
    by_reading: list[list[CheckResult]] = [[] for _ in visit.readings]
    by_visit: list[CheckResult] = []
    failed: dict[int, str] = {}
    for stage in Stage:
        seen = tuple(reading for index, reading in enumerate(visit.readings) if index not in failed)
        stage_view = replace(visit, readings=seen)
        failed_before = dict(failed)
        for check in (check for check in checks if check.stage is stage):
            if isinstance(check, VisitCheck):
                found = _of_visit(check, stage_view, limits_for)
                by_visit += [CheckResult(check.id, check.version, found)] if found else []
                continue
            for index, reading in enumerate(visit.readings):
                if check.parameters and reading.parameter not in check.parameters:
                    continue
                finding = _of_reading(check, reading, stage_view, limits_for, failed_before.get(index))
                if finding is None:
                    continue
                by_reading[index].append(CheckResult(check.id, check.version, finding))
                if finding.flag is Flag.FAIL:
                    failed.setdefault(index, check.id)
    return _gather(visit, by_reading, by_visit)


def _of_visit(check: VisitCheck, stage_view: Visit, limits_for: LimitsFor) -> Finding | None:
    limits = limits_for(check.id, EVERY_PARAMETER)
    return _without_limits(check, limits, "") or check.run(stage_view, limits)


def _of_reading(
    check: ReadingCheck, reading: Reading, stage_view: Visit, limits_for: LimitsFor, failed_check: str | None
) -> Finding | None:
    limits = limits_for(check.id, reading.parameter)
    about = f" for {parameter_words(reading.parameter)}"
    found = _without_limits(check, limits, about) or check.run(reading, stage_view, limits)
    if failed_check is None or found is None:
        return found
    return Finding(
        Flag.NOT_EVALUATED,
        f"Not compared, because this reading already failed another check ({failed_check}).",
        {"failed_check": failed_check},
    )


def _without_limits(check: Check, limits: Limits, about: str) -> Finding | None:
    missing = [name for name in check.needs if name not in limits]
    if not missing:
        return None
    return Finding(
        Flag.NOT_EVALUATED,
        f"Not checked: this network has no limits{about} in this check.",
        {"missing_limits": ", ".join(missing)},
    )


def _gather(visit: Visit, by_reading: list[list[CheckResult]], by_visit: list[CheckResult]) -> Assessment:
    readings = tuple(
        ReadingAssessment(
            reading.position, tuple(results), roll_up(result.finding.flag for result in results)
        )
        for reading, results in zip(visit.readings, by_reading, strict=True)
    )
    flags = [*(reading.flag for reading in readings), _rolled_up(by_visit)]
    return Assessment(readings, tuple(by_visit), roll_up(flags))


def _rolled_up(results: Sequence[CheckResult]) -> Flag:
    return roll_up(result.finding.flag for result in results)
