"""The report on a list of sites: as JSON, or as the list that was sent with three columns more."""

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import cast

from service.intake.imports.fate import Fate, what_next
from service.intake.imports.report_sheet import write_csv_report, write_xlsx_report
from service.intake.imports.said import Said
from service.intake.imports.schemas import CellAnswer
from service.intake.imports.sheets_source import SIGNS
from service.intake.imports.shelf.queries import ShelvedRow, open_shelf
from service.intake.imports.source import Source
from service.intake.sheets.cell import Grid
from service.intake.sheets.read_file import read_file
from service.intake.site_lists.mapping import SiteListMapping
from service.intake.site_lists.read_site import named_columns
from service.intake.site_lists.schemas import ListedSiteAnswer, SiteListReport
from service.intake.site_lists.take_in import ListOrder, Settled, Taken

WRITERS = {"csv": write_csv_report, "xlsx": write_xlsx_report}
PLAIN = {
    Fate.STORED: "stored",
    Fate.WOULD_STORE: "would be stored",
    Fate.KNOWN: "known before, exactly so",
    Fate.CHANGED: "known with other content, and left so",
    Fate.REVISED: "changed",
    Fate.MERGED: "the same as a row before",
    Fate.LEFT_OUT: "left out",
    Fate.REFUSED: "refused",
}


def reported(name: str, order: ListOrder, taken: Taken) -> SiteListReport:
    """Return what became of a list."""
    totals: Counter[str] = Counter(row.fate for row in taken.rows)
    counted = "; ".join(f"{totals[fate]} {PLAIN[fate]}" for fate in PLAIN if totals[fate])
    text = f"{len(taken.rows)} rows: {counted or 'nothing in them'}."
    text += what_next(totals, "list", dry_run=order.dry_run)
    return SiteListReport(
        file=name,
        sheet=taken.sheet,
        **asdict(order),
        text=text,
        rows_count=len(taken.rows),
        totals={fate: totals[fate] for fate in PLAIN},
        rows=[_shown(row) for row in taken.rows],
    )


def _shown(settled: Settled) -> ListedSiteAnswer:
    row = settled.row
    return ListedSiteAnswer(
        row=row.number,
        fate=settled.fate,
        site=row.code or None,
        differs=list(settled.differs),
        problems=[CellAnswer(**asdict(one)) for one in row.problems],
        remarks=[CellAnswer(**asdict(one)) for one in row.remarks],
        advice=settled.advice,
    )


class _SentList:
    """A list as it was sent, to be shown again with its fates."""

    def __init__(self, path: Path, mapping: SiteListMapping, sheet: str) -> None:
        self._path, self._mapping = path, mapping
        self.sheets: Sequence[str] = [sheet]
        self.separator = SIGNS[mapping.file.separator] if mapping.file.separator else ","

    def grids(self) -> Iterator[Grid]:
        """Give the sheet."""
        with read_file(self._path, self._mapping.file, named_columns(self._mapping)) as grid:
            yield grid


def write_sheet_report(form: str, path: Path, mapping: SiteListMapping, taken: Taken, target: Path) -> None:
    """Write a list with what is said of each row as `csv` or `xlsx`.

    Raises
    ------
    Unreadable
        Read again, the list failed.
    """
    rows = (ShelvedRow(one.row.number, fate=one.fate, said=_said(one).as_json()) for one in taken.rows)
    with open_shelf() as shelf:
        for _ in shelf.put(rows):
            pass
        # The writers look at nothing of a source but what _SentList has.
        WRITERS[form](cast(Source, _SentList(path, mapping, taken.sheet)), shelf, target)


def _said(settled: Settled) -> Said:
    differs = f"Other are {', '.join(settled.differs)}. " if settled.differs else ""
    return Said(settled.row.problems, settled.row.remarks, differs + settled.advice)
