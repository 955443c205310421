"""Take in a list of sites that lies on this machine: what `wadebook import-sites` does."""

from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Engine
from sqlmodel import Session

from service.core.database import reading
from service.core.errors import WadebookError
from service.core.progress import show_progress
from service.intake.imports.fate import Fate
from service.intake.imports.from_disk import MOST_COMPLAINTS, NETWORK, require_file
from service.intake.imports.report_sheet import in_words
from service.intake.sheets.cell import Unreadable
from service.intake.site_lists.load import require_one_school, site_list_mapping
from service.intake.site_lists.mapping import SiteListMapping
from service.intake.site_lists.read_site import ListedSite
from service.intake.site_lists.report import reported, write_sheet_report
from service.intake.site_lists.schemas import SiteListReport
from service.intake.site_lists.take_in import ListOrder, take_in_sites


@dataclass(frozen=True, slots=True)
class ListDone:
    """What became of a list, and the first of the rows that were refused, in words."""

    report: SiteListReport
    complaints: list[str]

    @property
    def refused(self) -> int:
        """How many rows were refused."""
        return self.report.totals[Fate.REFUSED]


def import_sites_from_disk(
    engine: Engine, order: ListOrder, file: Path, mapping: Path, report: Path | None = None
) -> ListDone:
    """Take in a list of sites, showing how far it is; run again, it doubles nothing.

    Parameters
    ----------
    mapping
        A file of JSON or TOML.
    report
        Where the report is written, by the ending of its name.

    Raises
    ------
    WadebookError
        The list or its mapping is not there or cannot be read, or the report has no such ending.
    """
    require_file(file, report)
    read_by = _mapping(mapping)
    require_one_school(order.school, read_by)
    with Session(reading(engine) if order.dry_run else engine, expire_on_commit=False) as session:
        try:
            taken = take_in_sites(session, NETWORK, order, file, read_by, show_progress)
            done = reported(file.name, order, taken)
            if report is not None and report.suffix.lower() == ".json":
                report.write_text(done.model_dump_json(indent=2), "utf-8")
            elif report is not None:
                write_sheet_report(report.suffix.lower().removeprefix("."), file, read_by, taken, report)
        except Unreadable as error:
            raise WadebookError(error.message) from None
    wrong = [row.row for row in taken.rows if row.fate == Fate.REFUSED]
    return ListDone(done, [_complaint(row) for row in wrong[:MOST_COMPLAINTS]])


def _complaint(row: ListedSite) -> str:
    return f"row {row.number}: " + "; ".join(map(in_words, row.problems))


def _mapping(path: Path) -> SiteListMapping:
    try:
        text = path.read_text("utf-8")
    except UnicodeDecodeError:
        raise WadebookError(f"{path} is no text in UTF-8.") from None
    except OSError:
        raise WadebookError(f"There is no file {path}.") from None
    return site_list_mapping(text)
