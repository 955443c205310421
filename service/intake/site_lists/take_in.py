"""Take in a list of sites: every row is judged as a site that is entered alone."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from sqlmodel import Session

from service.core.database import own_commit
from service.core.errors import Conflict, Invalid
from service.intake.imports.fate import AGAIN, Fate
from service.intake.imports.said import of_the_row
from service.intake.imports.take_in import Tell
from service.intake.mapping.cell_problem import CellProblem
from service.intake.mapping.readers.head import Head
from service.intake.sheets.cell import Unreadable
from service.intake.sheets.read_file import read_file
from service.intake.site_lists.known_site import differing, patch_of
from service.intake.site_lists.mapping import SiteListMapping
from service.intake.site_lists.read_site import ListedSite, SiteReader, named_columns
from service.intake.site_lists.same_code import hold_apart
from service.schools.caller import Caller
from service.schools.queries import school_by_code
from service.sites.keep_site import change_site, create_site
from service.sites.queries import site_by_code
from service.sites.schemas import SiteBody

MOST_ROWS = 20_000
BATCH = 100  # sites to a transaction: others who write wait about a second at most
ADVICE = {
    Fate.WOULD_STORE: "It is stored when you send the list without dry_run.",
    Fate.KNOWN: "It is stored already, exactly so; there is nothing to do.",
    Fate.CHANGED: "It is stored with other content, and nothing was changed. Where this list is right, send "
    "it again with revise=true.",
    Fate.REFUSED: AGAIN,
}


@dataclass(frozen=True, slots=True)
class ListOrder:
    """How a list is to be taken in: whose sites (``None``: the mapping says), and what may be done."""

    school: str | None
    dry_run: bool = False
    revise: bool = False


@dataclass(frozen=True, slots=True)
class Settled:
    """A row that came to its fate, and the fields that were stored otherwise."""

    row: ListedSite
    fate: Fate
    differs: tuple[str, ...] = ()
    advice: str = ""


@dataclass(frozen=True, slots=True)
class Taken:
    """A list that was taken in."""

    sheet: str
    rows: Sequence[Settled]


def take_in_sites(
    session: Session,
    caller: Caller,
    order: ListOrder,
    path: Path,
    mapping: SiteListMapping,
    tell: Tell = lambda told: None,
) -> Taken:
    """Let every row of a list come to its fate. What was begun is committed first; no lock is held meanwhile.

    ``tell`` is told from time to time how far the work is.

    Raises
    ------
    Unreadable
        Nothing of the list can be read; nothing was stored.
    """
    with own_commit(session):
        pass
    with read_file(path, mapping.file, named_columns(mapping)) as grid:
        head = Head(grid.head)
        reader = SiteReader(mapping, head, order.school)
        head.require_all()
        read: list[ListedSite] = []
        for row in grid.rows:
            if len(read) == MOST_ROWS:
                raise Unreadable(f"The list has more than {MOST_ROWS} rows; send it in parts.")
            read.append(reader.read(row))
        sheet = grid.sheet
    held_apart, repeats = hold_apart(read)
    settled: list[Settled] = []
    for start in range(0, len(held_apart), BATCH):
        with own_commit(session):
            settled += _settle(session, caller, order, held_apart[start : start + BATCH], repeats)
        tell(f"{len(settled)} of {len(held_apart)} sites")
    return Taken(sheet, settled)


def _settle(
    session: Session, caller: Caller, order: ListOrder, rows: Sequence[ListedSite], repeats: dict[int, int]
) -> Iterator[Settled]:
    for row in rows:
        if row.left_out:
            yield Settled(replace(row, remarks=(of_the_row(row.left_out),)), Fate.LEFT_OUT)
        elif row.number in repeats:
            yield Settled(row, Fate.MERGED, advice=f"It is the same as row {repeats[row.number]}.")
        elif row.body is None:
            yield Settled(row, Fate.REFUSED, advice=AGAIN)
        else:
            yield _entered(session, caller, order, row, row.body)


def _entered(session: Session, caller: Caller, order: ListOrder, row: ListedSite, body: SiteBody) -> Settled:
    known = site_by_code(session, body.code)
    differs = tuple(differing(body, known)) if known else ()
    if known and not differs:
        return _done(row, Fate.KNOWN)
    if known and "school" in differs:
        told = f"{body.code} is the code of a site of the school {known.school}; give this one its own"
        return _refused(row, [of_the_row(told)])
    if known and not order.revise:
        return _done(row, Fate.CHANGED, differs)
    if order.dry_run:
        if school_by_code(session, body.school) is None:
            return _refused(row, [of_the_row(f"there is no school {body.school}; enter it first")])
        return _done(row, Fate.WOULD_STORE, differs)
    try:
        if known:
            change_site(session, caller, body.code, patch_of(body, list(differs)))
            return _done(row, Fate.REVISED, differs)
        create_site(session, caller, body)
        return _done(row, Fate.STORED)
    except Invalid as error:
        return _refused(row, [CellProblem(one.pointer, "", one.message) for one in error.errors])
    except Conflict as error:
        return _refused(row, [of_the_row(error.message)])


def _done(row: ListedSite, fate: Fate, differs: tuple[str, ...] = ()) -> Settled:
    return Settled(row, fate, differs, ADVICE.get(fate, ""))


def _refused(row: ListedSite, problems: Sequence[CellProblem]) -> Settled:
    return Settled(replace(row, problems=(*row.problems, *problems)), Fate.REFUSED, advice=AGAIN)
