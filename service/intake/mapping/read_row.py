"""From one row of a sheet to what it adds to a visit, or to all that is wrong with it."""

import re
from dataclasses import dataclass
from datetime import UTC

from service.core.schema import CODE_PATTERN
from service.intake.mapping.cell_problem import CellProblem, Refused, quoted
from service.intake.mapping.part import Part, VisitKey
from service.intake.mapping.readers.carried_down import CarriedDown
from service.intake.mapping.readers.catch import CatchReader
from service.intake.mapping.readers.coded import CodedReader, words_of
from service.intake.mapping.readers.conditions import ConditionsReader, NotesReader
from service.intake.mapping.readers.head import Head
from service.intake.mapping.readers.long import LongReader
from service.intake.mapping.readers.only import OnlyRule
from service.intake.mapping.readers.open_row import MissingMarks, OpenRow
from service.intake.mapping.readers.when import WhenReader
from service.intake.mapping.readers.wide import WideReader
from service.intake.mapping.schemas import Mapping
from service.intake.mapping.sites import Places, SiteFinder
from service.intake.mapping.written.numbers import NumberRule
from service.intake.mapping.written.words import plain_word, word_of
from service.intake.mapping.written.zone import offset_text
from service.intake.sheets.cell import Row, Unreadable
from service.science.types import VisitKind

NOTHING_MEASURED = "nothing was measured or counted in this row"


@dataclass(frozen=True, slots=True)
class ReadRow:
    """A row as its mapping reads it: a part of a visit, or problems, or left out with its why.

    ``key`` is told of a refused row too, where site, time and all that makes a visit could be read: the visit
    then cannot go in without this row. ``remarks`` are said of a row that is taken all the same, such as of a
    name that the taxa do not know.
    """

    number: int
    key: VisitKey | None = None
    part: Part | None = None
    problems: tuple[CellProblem, ...] = ()
    left_out: str = ""
    remarks: tuple[CellProblem, ...] = ()


class RowReader:
    """A mapping made ready for one sheet."""

    def __init__(self, mapping: Mapping, head: Head, places: Places, *, is_text: bool) -> None:
        rule = NumberRule(mapping.file.decimal, mapping.file.thousands)
        self._is_text = is_text  # where a sign too many moves the cells behind it
        self._width = len(head.names)
        self._missing = MissingMarks(mapping.file.missing)
        self._carried = CarriedDown([head.find(column) for column in mapping.carried_down])
        self._places = places
        self._sites = SiteFinder(places)
        self._only = [OnlyRule(only, head, rule) for only in mapping.only]
        self._site = CodedReader(mapping.site, head)
        self._when = WhenReader(mapping.when, head)
        self._team = CodedReader(mapping.team, head) if mapping.team else None
        self._kind = CodedReader(mapping.kind, head, words_of(VisitKind)) if mapping.kind else None
        self._apart = [head.find(column) for column in mapping.apart]
        self._long = LongReader(mapping.long, head, mapping.file) if mapping.long else None
        wide = [WideReader(column, head, mapping.file) for column in mapping.readings]
        self._readings: list[WideReader | LongReader] = [*wide, *([self._long] if self._long else ())]
        self._catch = CatchReader(mapping.catch, head, rule) if mapping.catch else None
        self._conditions = ConditionsReader(mapping.conditions, head, rule)
        self._notes = NotesReader(mapping.notes, head)
        heads = {
            "site": self._site.label,
            "observed_at": self._when.bound.label,
            "team": self._team.label if self._team else "",
            "kind": self._kind.label if self._kind else "",
        }
        self._heads = {name: label for name, label in heads.items() if label}

    def require_site(self) -> None:
        """Refuse the sheet when its one site for all rows is not there.

        Raises
        ------
        Unreadable
            With the site that the mapping names.
        """
        if self._site.bound is None:
            word = self._site.constant
            try:
                self._sites.find(word)
            except Refused as refused:
                raise Unreadable(f'The mapping\'s site "{quoted(word)}" {refused.reason}.') from None

    def read(self, row: Row) -> ReadRow:
        """Return the row as the mapping reads it, with all its problems at once."""
        row = self._carried.fill(row)
        open_row = OpenRow(row, self._missing)
        why = self._left_out(open_row)
        if why:
            return ReadRow(row.number, left_out=why)
        if self._is_text:
            self._look_for_shifted_cells(open_row, row)
        readings = [sent for reader in self._readings for sent in reader.read(open_row)]
        counts, catch = self._catch.read(open_row) if self._catch else ([], None)
        conditions = self._conditions.read(open_row)
        notes = self._notes.read(open_row)
        noted = notes or any(sent.column for sent in conditions.values())
        if not (readings or catch or noted or open_row.problems):
            return ReadRow(row.number, left_out=NOTHING_MEASURED)
        found = self._key(open_row)
        remarks = tuple(open_row.remarks)
        if open_row.problems or found is None:
            key = found[0] if found else None
            return ReadRow(row.number, key, None, open_row.all_problems(), remarks=remarks)
        key, assumed_time = found
        part = Part(
            row=row.number,
            readings=tuple(readings),
            counts=tuple(counts),
            catch=catch,
            conditions=conditions,
            notes=tuple(notes),
            assumed_time=assumed_time,
            heads=self._heads,
        )
        return ReadRow(row.number, key, part, remarks=remarks)

    def _left_out(self, row: OpenRow) -> str:
        for rule in self._only:
            why = rule.leaves_out(row)
            if why:
                return why
        return self._long.left_out(row) if self._long else ""

    def _look_for_shifted_cells(self, open_row: OpenRow, row: Row) -> None:
        if any(cell.text for cell in row.cells[self._width :]):
            open_row.refuse(
                None,
                f"has {len(row.cells)} cells under {self._width} columns, so they may be shifted; look for a "
                "text that holds the sign between the columns",
            )

    def _key(self, row: OpenRow) -> tuple[VisitKey, str] | None:
        """Return the visit of a row and the time that was taken; nothing where any of it is refused."""
        before = len(row.problems)
        site = self._find_site(row)
        moment = self._when.read(row, self._places[site][1] if site else "")
        team = self._find_team(row)
        kind = (self._kind.read(row) if self._kind else "") or VisitKind.ROUTINE.value
        apart = tuple(row.take(bound, word_of) or "" for bound in self._apart)
        if moment is None or not site or len(row.problems) > before:
            return None
        utc = moment.instant.astimezone(UTC)
        key = VisitKey(f"{utc:%Y-%m-%dT%H:%M:%SZ}", site, offset_text(moment.instant), team, kind, apart)
        return key, moment.assumed_time

    def _find_site(self, row: OpenRow) -> str:
        before = len(row.problems)
        word = self._site.read(row)
        if not word:
            if len(row.problems) == before:
                row.refuse(self._site.bound, "names no site; write the site's code")
            return ""
        try:
            return self._sites.find(word)
        except Refused as refused:
            bound = self._site.bound
            meant = bound is None or plain_word(row.cell(bound).text) != plain_word(word)
            row.refuse(bound, f"{f'means {word}, which ' if meant else ''}{refused.reason}")
            return ""

    def _find_team(self, row: OpenRow) -> str:
        team = plain_word(self._team.read(row)) if self._team else ""
        if team and not re.fullmatch(CODE_PATTERN, team):
            assert self._team is not None
            row.refuse(
                self._team.bound,
                "cannot be a team's code: use lower-case letters, digits and hyphens, or say in the mapping "
                "which code the word means",
            )
        return team
