"""The CCME index in plain words: what the number says, and what limits it."""

from collections.abc import Iterable

from service.network.objectives.period_objectives import Objectives
from service.science.ccme_index import CcmeIndex, Tested
from service.science.criterion import Criterion
from service.science.qa.wording import number_words, parameter_words, unit_words
from service.science.scores.index import Definition
from service.science.scores.scorable import plural

SCREENING = (
    "A screening result beside criteria for the place; it does not tell whether any law was kept, nor what is"
    " in the water that nobody measured."
)

NOTHING = "No index: no released reading of these dates could be set beside a criterion."


def objective_words(objective: Criterion) -> str:
    """Return an objective in words, such as ``pH at least 6.5 and at most 9``."""
    if objective.formula is not None:
        limits = f"at most what the formula {objective.formula} gives"
    else:
        ends = (("at least", objective.at_least), ("at most", objective.at_most))
        limits = " and ".join(f"{words} {number_words(end)}" for words, end in ends if end is not None)
        limits += unit_words(objective.unit)
    return f"{parameter_words(objective.parameter)} {limits}"


def text_of(index: CcmeIndex) -> str:
    """Return what the number says."""
    if index.value is None:
        return NOTHING
    tests, failed = sum(one.tests for one in index.used), sum(one.failed for one in index.used)
    missed = sum(one.failed > 0 for one in index.used)
    about = "At most about" if index.at_most else "About"
    class_words = f", {index.band}" if index.band else ", without a class"
    return (
        f"{about} {index.value:.1f} of 100{class_words}: {failed} of {plural(tests, 'test')} did not meet the"
        f" criterion, in {missed} of {plural(len(index.used), 'parameter')}. {SCREENING}"
    )


def reasons_of(index: CcmeIndex, objectives: Objectives, definition: Definition) -> list[str]:
    """Return what limits an index: too few data, what was left out or is no test, changed objectives."""
    reasons = [*_too_few(index, definition), *_left_out(index, definition), *_no_tests(index.tested)]
    if index.at_most:
        reasons.append(
            "some readings missed their criterion by more than the kit can show: the true index may be lower"
        )
    if index.half_steps:
        reasons.append(
            f"{plural(index.half_steps, 'reading')} of 0 counted as half the smallest step of the kit, since"
            " nothing can be divided by 0"
        )
    measured = {one.variable.objective.parameter for one in index.tested}
    for parameter in objectives.changed:
        if parameter in measured:
            reasons.append(
                f"{parameter_words(parameter)}: its criterion changed within these dates; all readings are"
                " set beside that of the last date"
            )
    return [*reasons, *_doubt(index)]


def _too_few(index: CcmeIndex, definition: Definition) -> list[str]:
    if index.value is None or index.band is not None:
        return []
    variables, samples = (int(definition.constants[name]) for name in ("variables_wanted", "samples_wanted"))
    ready = sum(one.tests >= samples for one in index.tested)
    had = f"{plural(ready, 'parameter')} with {samples} tests or more"
    return [f"{had}; {variables} wanted before a class is given"]


def _left_out(index: CcmeIndex, definition: Definition) -> list[str]:
    samples = int(definition.constants["samples_wanted"])
    return [
        f"{parameter_words(one.variable.objective.parameter)}: {plural(one.tests, 'test')}, {samples} wanted;"
        f" left out, though {one.failed} did not meet the criterion"
        if one.failed
        else f"{parameter_words(one.variable.objective.parameter)}: {plural(one.tests, 'test')}, {samples}"
        " wanted; left out"
        for one in index.tested
        if one.left_out and one.judgements
    ]


def _no_tests(tested: Iterable[Tested]) -> list[str]:
    return [
        f"{parameter_words(one.variable.objective.parameter)}: {plural(one.undecided, 'reading')} beyond what"
        " the kit shows, on neither side of the criterion for sure; no test"
        for one in tested
        if one.undecided
    ]


def _doubt(index: CcmeIndex) -> list[str]:
    if index.value is None:
        return []
    if index.low == index.high:
        return ["within the steps of the kits named the number stays the same; chance is not counted here"]
    chances = ", ".join(f"{name} {share:.0%}" for name, share in index.bands.items())
    said = f"the steps of the kits alone allow {index.low:.1f} to {index.high:.1f}"
    return [f"{said}; chance of each class: {chances}" if chances else said]
