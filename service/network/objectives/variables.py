"""From the values of visits and the objectives of a period to the variables of the CCME index."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from uuid import UUID

from service.network.objectives.kit_steps import Steps
from service.network.objectives.period_objectives import Objectives
from service.network.objectives.visit_values import VisitValue
from service.science.ccme_index import Variable
from service.science.ccme_judgement import Observation
from service.science.criterion import Criterion
from service.science.criterion_comparison import FORMULA_NEEDS, limit_by_formula
from service.science.qa.wording import parameter_words
from service.science.scores.scorable import plural

Numbers = Mapping[UUID, Mapping[str, float]]


def variables_of(
    values: Sequence[VisitValue], objectives: Objectives, steps: Steps
) -> tuple[list[Variable], list[str]]:
    """Return a variable for each parameter that was measured and has an objective, and what was left out.

    A formula gives its limit from the numbers of pH and water temperature of the same visit.
    """
    numbers = _numbers(values)
    reasons: list[str] = []
    variables: list[Variable] = []
    measured_parameters = sorted({value.parameter for value in values})
    without = [one for one in measured_parameters if one not in objectives.by_parameter]
    if without:
        reasons.append(f"no criterion applies here for {', '.join(map(parameter_words, without))}")
    for parameter in measured_parameters:
        if parameter in without:
            continue
        objective, named = objectives.by_parameter[parameter], parameter_words(parameter)
        if any(limit is not None and limit <= 0.0 for limit in (objective.at_least, objective.at_most)):
            reasons.append(f"{named}: its criterion is not above 0, and the index divides by it; left out")
        else:
            measured = [value for value in values if value.parameter == parameter]
            observations = list(_observations(measured, numbers, objective, steps))
            untested = len(measured) - len(observations)
            if untested:
                reasons.append(
                    f"{named}: {plural(untested, 'visit')} without a test; its limit follows from pH and"
                    " water temperature, which were not both read there as numbers that the formula takes"
                )
            variables.append(Variable(objective, tuple(observations)))
    repeated = sum(value.readings > 1 for value in values if value.parameter in objectives.by_parameter)
    if repeated:
        times = "once" if repeated == 1 else f"{repeated} times"
        reasons.append(f"several readings of one visit count as one, their median: {times}")
    return variables, reasons


def _observations(
    measured: Iterable[VisitValue], numbers: Numbers, objective: Criterion, steps: Steps
) -> Iterable[Observation]:
    for value in measured:
        on_the_day = _on_the_day(objective, numbers[value.visit_id])
        if on_the_day is not None:
            step = steps.get((value.visit_id, value.parameter))
            yield Observation(value.says, value.may_be, on_the_day, step)


def _numbers(values: Iterable[VisitValue]) -> Numbers:
    """Return what was read as a number on each visit."""
    found: defaultdict[UUID, dict[str, float]] = defaultdict(dict)
    for value in values:
        if value.is_number:
            found[value.visit_id][value.parameter] = value.says[0]
    return found


def _on_the_day(objective: Criterion, read: Mapping[str, float]) -> Criterion | None:
    """Return an objective with the limit that its formula gives on a visit, ``None`` where it gives none."""
    if objective.formula is None:
        return objective
    if any(parameter not in read for parameter in FORMULA_NEEDS):
        return None
    try:
        at_most = limit_by_formula(objective.formula, *(read[parameter] for parameter in FORMULA_NEEDS))
    except ValueError:
        return None
    return replace(objective, at_most=at_most)
