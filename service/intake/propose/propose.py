"""From a file of which nothing is known to a mapping as far as it is certain, and questions for the rest."""

from itertools import islice
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from service.intake.mapping.schemas import Mapping
from service.intake.mapping.sites import Places
from service.intake.propose.ask_animals import ask_animals
from service.intake.propose.ask_clock import ask_clock
from service.intake.propose.ask_date import ask_date
from service.intake.propose.ask_file import ask_encoding, ask_signs
from service.intake.propose.ask_long import ask_long, is_long
from service.intake.propose.ask_readings import ask_readings
from service.intake.propose.ask_rest import ask_rest
from service.intake.propose.ask_site import ask_site
from service.intake.propose.draft import Draft
from service.intake.propose.on_its_side import lies_on_its_side
from service.intake.propose.schemas import Choice, ColumnAnswer, Proposal, TaxaAnswer
from service.intake.propose.seen_columns import seen_columns
from service.intake.propose.set_aside import set_aside
from service.intake.sheets.cell import Unreadable
from service.intake.sheets.look import Look, look_into
from service.intake.sheets.read_file import read_file
from service.intake.template.own_mapping import how_to_read, own_mapping_for

MOST_ROWS, MOST_CELLS = 20_000, 1_000_000  # looked at; a sheet of a school is shorter
FEWEST_ROWS = 500
NOTHING_TO_READ = (
    "No column of readings was found, and no animals with counts. A list of sites is not taken in here: the "
    "coordinator enters sites at /v1/sites. If there are readings, name their columns in /readings."
)


def propose(path: Path, places: Places, sheet: str | None = None) -> Proposal:
    """Return a proposal for one sheet of a file.

    Parameters
    ----------
    path : the file
    places : the school's sites: code -> (name, time zone)
    sheet : which sheet of a workbook; the one with most in it where it is left open

    Raises
    ------
    Unreadable
        The file cannot be read, has no such sheet, or nothing below its head row.
    """
    looks = look_into(path)
    look = _chosen(looks, sheet)
    how = how_to_read(look)
    with read_file(path, how) as grid:
        head = grid.head
        most = max(MOST_CELLS // max(len(head.cells), 1), FEWEST_ROWS)
        rows = list(islice(grid.rows, min(most, MOST_ROWS)))
    own = own_mapping_for(head, how)
    if own is not None:
        return _own(Draft(seen_columns(head, rows), rows, places), look, own)
    aside = set_aside(head, rows)
    draft = Draft(seen_columns(head, aside.rows, aside.units), aside.rows, places)
    if not aside.rows:
        raise Unreadable(
            "Nothing is written below the row that names the columns, so there is nothing to look at."
        )
    if rules := aside.rules(draft.columns):
        draft.mapping["only"] = rules
    _ask_sheet(draft, looks, look, sheet)
    ask_encoding(draft, look)
    file = how.model_dump(mode="json", exclude_none=True, exclude_defaults=True)
    sites = ask_site(draft)
    when: dict[str, Any] = {}
    ask_clock(draft, when, ask_date(draft, when))
    taxa = _ask_content(draft)
    if draft.mapping.keys() & {"readings", "long", "catch"}:
        ask_rest(draft)
        ask_signs(draft, file)
    draft.mapping |= {"when": when} | ({"file": file} if file else {})
    is_whole = look.is_whole and len(rows) == look.rows
    return _proposal(draft, look, is_whole=is_whole).model_copy(update={"sites": sites, "taxa": taxa})


def _chosen(looks: list[Look], sheet: str | None) -> Look:
    if sheet is None:
        shown = [look for look in looks if not look.is_hidden] or looks
        return max(shown, key=lambda look: look.rows * len(look.columns))
    found = next((look for look in looks if look.sheet == sheet), None)
    if found is None:
        raise Unreadable(
            f"There is no sheet of that name; there are {', '.join(look.sheet for look in looks)}."
        )
    return found


def _ask_sheet(draft: Draft, looks: list[Look], look: Look, named: str | None) -> None:
    looks = [one for one in looks if one is look or not one.is_hidden]
    if len(looks) > 1 and named is None:
        told = (
            f"The workbook has {len(looks)} sheets. Looked at was {look.sheet}, which has most in it. Is it "
            "the one?"
        )
        choices = [Choice(value=one.sheet, text=f"{one.sheet}: {one.rows} rows") for one in looks]
        draft.ask(
            "/file/sheet", None, f"{told} For another, ask for a proposal with sheet=.", choices, needed=False
        )


def _ask_content(draft: Draft) -> TaxaAnswer | None:
    taxa = ask_animals(draft)
    if is_long(draft):
        ask_long(draft)
    else:
        ask_readings(draft)
    sideways = lies_on_its_side(draft) or _all_refused(draft)
    if sideways or not (draft.mapping.keys() & {"readings", "long", "catch"}):
        draft.questions.clear()
        draft.ask("/readings", None, sideways or NOTHING_TO_READ)
    return taxa


def _all_refused(draft: Draft) -> str:
    """Return what is wrong with a sheet of which every cell is refused."""
    faults = [column.facts.faults for column in draft.columns if column.facts.faults]
    if not faults or any(column.facts.filled for column in draft.columns):
        return ""
    _, row, fault = faults[0]
    return f"No cell of this sheet can be read. In row {row}, what is written {fault}."


def _own(draft: Draft, look: Look, own: Mapping) -> Proposal:
    draft.mapping = own.model_dump(mode="json", exclude_none=True, exclude_defaults=True)
    is_whole = look.is_whole and len(draft.rows) == look.rows
    return _proposal(draft, look, is_whole=is_whole).model_copy(
        update={"text": "This is the network's own template: send it to /v1/imports without any mapping."}
    )


def _proposal(draft: Draft, look: Look, *, is_whole: bool) -> Proposal:
    needed = [question for question in draft.questions if question.needed]
    complete = not needed and _is_valid(draft.mapping)
    return Proposal(
        text=_summary(len(needed), len(draft.questions)),
        mapping=draft.mapping,
        complete=complete,
        sheet=look.sheet,
        rows=look.rows,
        is_whole=is_whole,
        questions=draft.questions,
        columns=[
            ColumnAnswer(
                number=column.place + 1,
                name=column.name,
                seems=column.means,
                certainty=column.certainty,
                why=column.why,
                used=column.used,
                remarks=column.remarks,
            )
            for column in draft.columns
        ],
        sites=[],
        taxa=None,
    )


def _summary(needed: int, all_questions: int) -> str:
    if not needed:
        return f"The mapping can be used; {all_questions} questions may make it better."
    return (
        f"{needed} of {all_questions} questions must be answered before the mapping can be used. Put each "
        "answer at "
        "the place that its question is about; null takes that place out of the mapping, once all is "
        "answered."
    )


def _is_valid(mapping: dict[str, Any]) -> bool:
    try:
        Mapping.model_validate(mapping)
    except ValidationError:
        return False
    return True
