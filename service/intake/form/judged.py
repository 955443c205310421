"""What the service said about a visit, as the page shows it: beside each field, and as a whole."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.intake.form.draft import Draft
from service.reference.load import load_catalogue
from service.science.flags import Flag
from service.science.qa.wording import number_words, rounded_words, unit_words
from service.visits.answers import CheckAnswer, ReadingAnswer, ScoreAnswer, VisitAnswer
from service.visits.tables import State

PERCENT = " [%]"  # behind the title of an index
DOUBTED = {Flag.SUSPECT, Flag.FAIL}
TOLD = {
    Flag.PASS: "Fits.",
    Flag.NOT_EVALUATED: "Taken as it is; nothing to compare it with.",
    Flag.MISSING: "Not measured.",
}
TO_DO = {Flag.SUSPECT: "Look again", Flag.FAIL: "Cannot be right"}
STATES = {
    State.RELEASED: "It is public now.",
    State.HELD: "It waits for the coordinator, because something in it has to be looked at.",
    State.REJECTED: "The coordinator has taken it out of the record.",
    State.WITHDRAWN: "It was withdrawn.",
}


@dataclass(frozen=True, slots=True)
class Note:
    """One thing said. ``head`` is what to do in two words; empty where nothing is to be done."""

    head: str
    message: str
    advice: str = ""


@dataclass(frozen=True, slots=True)
class Said:
    """One field's name, what it is, its value as written, and what was said of it."""

    field: str
    title: str
    value: str
    notes: tuple[Note, ...]

    @property
    def is_doubted(self) -> bool:
        """Whether somebody should look at it again."""
        return any(note.head for note in self.notes)


@dataclass(frozen=True, slots=True)
class Result:
    """One score as a class reads it."""

    title: str
    value: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Judged:
    """All that a page says about a visit. ``unchecked`` is what nobody could check, and why."""

    state: str
    said: tuple[Said, ...]
    whole: tuple[Note, ...]
    animals: tuple[Said, ...]
    results: tuple[Result, ...]
    unchecked: tuple[str, ...]
    alerts: tuple[tuple[str, tuple[str, ...], str], ...]
    cautions: tuple[str, ...]

    @property
    def doubted(self) -> tuple[Said, ...]:
        """What to look at again before the class leaves."""
        return tuple(one for one in (*self.said, *self.animals) if one.is_doubted)

    def beside(self, field: str) -> tuple[Note, ...]:
        """Return what is said beside a field."""
        return tuple(note for one in (*self.said, *self.animals) if one.field == field for note in one.notes)


def judged(answer: VisitAnswer, draft: Draft) -> Judged:
    """Return what the page says about a visit that was checked or handed in."""
    readings = tuple(
        _reading(reading, draft.origin(f"/readings/{place}")) for place, reading in enumerate(answer.readings)
    )
    checks = [check for reading in answer.readings for check in reading.checks] + answer.visit_checks
    return Judged(
        state=STATES[answer.state],
        said=readings,
        whole=_doubts(answer.visit_checks),
        animals=_animals(answer, draft),
        results=tuple(_result(score) for score in answer.scores if score.standing != "missing"),
        unchecked=tuple(
            dict.fromkeys(
                one.message for one in checks if Flag(one.flag) is Flag.NOT_EVALUATED and one.message
            )
        ),
        alerts=tuple((one.message, tuple(one.cautions), one.who_to_call) for one in answer.alerts),
        cautions=tuple(answer.private.cautions) if answer.private else (),
    )


def _doubts(checks: Sequence[CheckAnswer]) -> tuple[Note, ...]:
    return tuple(
        Note(TO_DO[Flag(one.flag)], one.message, one.advice) for one in checks if one.flag in DOUBTED
    )


def _reading(reading: ReadingAnswer, field: str) -> Said:
    parameter = load_catalogue().parameters[reading.parameter]
    written = reading.written
    value = "not measured"
    if written.value is not None:
        mark = f"{written.censored} " if written.censored else ""
        value = f"{mark}{number_words(written.value)}{unit_words(written.unit)}"
    notes = _doubts(reading.checks) or (Note("", TOLD.get(Flag(reading.flag), "")),)
    return Said(field, parameter.name.replace("degC", "°C"), value, notes)


def _animals(answer: VisitAnswer, draft: Draft) -> tuple[Said, ...]:
    if answer.catch is None:
        return ()
    return tuple(
        Said(
            draft.origin(f"/catch/counts/{place}/taxon"),
            line.written_name,
            line.abundance or str(line.count),
            (Note("Which one", line.question),),
        )
        for place, line in enumerate(answer.catch.counts)
        if line.question
    )


def _result(score: ScoreAnswer) -> Result:
    listed = load_catalogue().definitions.get(score.index)  # a network's own index is not listed
    title = listed.title if listed is not None else score.index
    unit = " %" if title.endswith(PERCENT) else ""
    title = title.removesuffix(PERCENT)
    if score.value is None:
        return Result(title, "no value", tuple(score.reasons))
    span = ""
    if score.low is not None and score.high is not None and score.low != score.high:
        span = f" (between {rounded_words(score.low)} and {rounded_words(score.high)})"
    band = f": {score.band}" if score.band else ""
    standing = " · provisional" if score.standing == "provisional" else ""
    return Result(title, f"{number_words(score.value)}{unit}{band}{span}{standing}", tuple(score.reasons))
