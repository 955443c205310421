"""Sheets that a mapping cannot read: dates or sites across, and what was read down the first column."""

from itertools import islice

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.sites import SiteFinder
from service.intake.propose.cell_kinds import Look, seen
from service.intake.propose.draft import Draft
from service.intake.propose.head_words import meaning_of
from service.reference.load import load_catalogue

FEWEST = 2
MOST_LOOKED_AT = 50
TURN_IT = (
    "{what} stand side by side here, and what was read or counted stands below one another. Turn the sheet, "
    "so that each row is one visit, or one animal of a visit, with its site and date (in a spreadsheet: "
    "copy, paste special, transpose). Then ask again."
)


def lies_on_its_side(draft: Draft) -> str:
    """Return what to do with a sheet whose heads are sites, or that has parameters below one another."""
    if (
        not draft.that_mean("site", "site_name")
        and sum(_is_site(draft, one.name) for one in draft.columns) >= FEWEST
    ):
        return TURN_IT.format(what="The sites")
    if draft.mapping.keys() & {"readings", "long", "catch"}:
        return ""
    first = next((one for one in draft.columns if one.facts.looks[Look.WORD]), None)
    words = islice(first.facts.words, MOST_LOOKED_AT) if first is not None else ()
    if sum(map(_is_reading, words)) >= FEWEST:
        dated = sum(
            seen(cell.value).look in (Look.DATE, Look.REAL_DATE) for row in draft.rows for cell in row.cells
        )
        return TURN_IT.format(what="The dates" if dated >= FEWEST else "The visits")
    return ""


def _is_site(draft: Draft, name: str) -> bool:
    try:
        return bool(SiteFinder(draft.places).find(name))
    except Refused:
        return False


def _is_reading(word: str) -> bool:
    meaning = meaning_of(word)
    return meaning is not None and meaning.means in load_catalogue().parameters
