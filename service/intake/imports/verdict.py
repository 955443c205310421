"""What became of one visit of a file, as the shelf keeps it and as its rows are told."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from service.intake.imports.fate import WHAT_TO_DO, Fate
from service.intake.imports.said import Said, of_the_row, said_from
from service.intake.imports.schemas import DoubtAnswer, ImportedVisit
from service.intake.imports.shelf.queries import WaitingVisit
from service.intake.mapping.assembled import Assembled, RowProblem
from service.intake.mapping.cell_problem import CellProblem
from service.science.flags import DOUBTED
from service.visits.record import VisitRecord
from service.visits.tables import WHOLE_VISIT, Visit


@dataclass(frozen=True, slots=True)
class Verdict:
    """The fate of a visit with what is said of its rows. ``visit`` is missing where it is refused."""

    fate: Fate
    problems: Sequence[RowProblem] = ()
    remarks: Sequence[RowProblem] = ()
    visit: ImportedVisit | None = None


def refused(problems: Sequence[RowProblem]) -> Verdict:
    """Return the verdict on a visit that is not taken."""
    return Verdict(Fate.REFUSED, problems)


def about_stored(fate: Fate, row: int, visit: Visit) -> Verdict:
    """Return the verdict on a visit that is stored already."""
    shown = ImportedVisit(
        visit_id=visit.id,
        sheet="",  # told with the number, when the report is written
        row=row,
        fate=fate,
        site=visit.site,
        observed_on=visit.observed_on,
        state=visit.state,
        flag=visit.flag.value,
        doubts=[],
    )
    return Verdict(fate, visit=shown)


def about_taken(fate: Fate, row: int, record: VisitRecord, made: Assembled) -> Verdict:
    """Return the verdict on a visit that was taken in, with what the checks doubt about it."""
    names = {reading.position: reading.parameter for reading in record.readings}
    doubts, remarks = [], list(made.remarks)
    for finding in record.findings:
        if finding.flag not in DOUBTED:
            continue
        place = "" if finding.position == WHOLE_VISIT else f"/readings/{finding.position}"
        origin = made.origin(place)
        reason = f"{finding.message} {finding.advice}".strip()
        remarks.append(RowProblem(origin.row, CellProblem(origin.column, "", reason)))
        doubts.append(
            DoubtAnswer(
                parameter=names.get(finding.position),
                check=finding.check,
                flag=finding.flag.value,
                message=finding.message,
            )
        )
    visit = about_stored(fate, row, record.visit).visit
    assert visit is not None
    return Verdict(fate, (), remarks, visit.model_copy(update={"doubts": doubts}))


def told_rows(waiting: WaitingVisit, verdict: Verdict) -> Iterator[tuple[int, str, str]]:
    """Give number, fate and words of each row of a visit that has a verdict.

    The first row carries the fate of the visit, the others are merged into it; of a visit that is refused all
    rows are refused, each with its own problems or with the row that has them.
    """
    problems, remarks = _by_row(verdict.problems), _by_row(verdict.remarks)
    first = waiting.rows[0].number
    faulty = next((row.number for row in waiting.rows if row.fate or problems[row.number]), first)
    for row in waiting.rows:
        before = said_from(row.said)
        wrong = [*before.problems, *problems[row.number]]
        fate = verdict.fate
        if fate is Fate.REFUSED:
            wrong = wrong or [of_the_row(f"row {faulty} of the same visit was refused")]
        elif row.number != first:
            fate = Fate.MERGED
        advice = WHAT_TO_DO[fate] if fate is not Fate.MERGED else f"It is part of the visit of row {first}."
        said = Said(wrong, [*before.remarks, *remarks[row.number]], advice)
        yield row.number, fate, said.as_json()


def _by_row(said: Sequence[RowProblem]) -> defaultdict[int, list[CellProblem]]:
    found: defaultdict[int, list[CellProblem]] = defaultdict(list)
    for row, problem in said:
        if problem not in found[row]:
            found[row].append(problem)
    return found
