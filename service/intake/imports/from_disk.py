"""Take in a file that lies on this machine: what `wadebook import` does."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from pathlib import Path

from sqlalchemy import Engine
from sqlmodel import Session

from service.core.database import own_commit, reading
from service.core.errors import NotFound, WadebookError
from service.core.progress import show_progress
from service.core.settings import Settings
from service.intake.imports.fate import Fate
from service.intake.imports.judge import ImportOrder
from service.intake.imports.keep_mapping import find_mapping
from service.intake.imports.open_source import mapping_from, open_source, places_of
from service.intake.imports.places import told_plainly
from service.intake.imports.report import Told, write_report
from service.intake.imports.report_sheet import in_words, write_csv_report, write_xlsx_report
from service.intake.imports.said import said_from
from service.intake.imports.shelf.queries import Shelf, open_shelf
from service.intake.imports.source import Source
from service.intake.imports.take_in import take_in
from service.intake.mapping.schemas import Mapping
from service.intake.sheets.cell import Unreadable
from service.schools.caller import Caller
from service.schools.queries import school_by_code
from service.schools.tables import Role

REPORTS = (".json", ".csv", ".xlsx")
MOST_COMPLAINTS = 20
NETWORK = Caller(Role.COORDINATOR)  # a command of the network's own: no key stands behind it


@dataclass(frozen=True, slots=True)
class Done:
    """What became of a file, and the first of the rows that were refused, in words."""

    told: Told
    complaints: list[str]

    @property
    def refused(self) -> int:
        """How many rows were refused."""
        return self.told.totals.get(Fate.REFUSED, 0)


def import_from_disk(
    engine: Engine,
    settings: Settings,
    order: ImportOrder,
    file: Path,
    mapping: str | None = None,
    report: Path | None = None,
) -> Done:
    """Take in a file, showing how far it is; run again, it goes on where it was stopped.

    Parameters
    ----------
    mapping
        Path of a mapping, or the code of one that the school keeps.
    report
        Where the report is written, by the ending of its name.

    Raises
    ------
    WadebookError
        The file, its mapping or its school is not there or cannot be read, or the report has no such ending.
    """
    require_file(file, report)
    with Session(reading(engine) if order.dry_run else engine, expire_on_commit=False) as session:
        with own_commit(session):
            if school_by_code(session, order.school) is None:
                raise NotFound(f"There is no school {order.school}.")
            read_by = _mapping(session, order.school, mapping)
            places = places_of(session, order.school)
        try:
            source, way = open_source(file, file.name, "", read_by, places)
            with open_shelf() as shelf:
                take_in(session, settings, NETWORK, order, source, shelf, show_progress)
                told = Told(file.name, source.sheets, mapping or way, order, shelf.totals())
                if report is not None:
                    _write(report, told, source, shelf)
                return Done(told, list(islice(_complaints(shelf, source.sheets), MOST_COMPLAINTS)))
        except Unreadable as error:
            raise WadebookError(error.message) from None


def require_file(file: Path, report: Path | None) -> None:
    """Refuse a file that is not there, and a report that cannot be written by its name.

    Raises
    ------
    WadebookError
        It is so.
    """
    if report is not None and report.suffix.lower() not in REPORTS:
        raise WadebookError(f"The report is written as one of {', '.join(REPORTS)}; give it that ending.")
    if not file.is_file():
        raise WadebookError(f"There is no file {file}.")


def _mapping(session: Session, school: str, named: str | None) -> Mapping | None:
    if named is None:
        return None
    if not Path(named).is_file():
        return Mapping.model_validate(find_mapping(session, NETWORK, school, named).content)
    try:
        return mapping_from(Path(named).read_text("utf-8"))
    except UnicodeDecodeError:
        raise WadebookError(f"{named} is no text in UTF-8.") from None


def _write(report: Path, told: Told, source: Source, shelf: Shelf) -> None:
    if report.suffix.lower() == ".csv":
        write_csv_report(source, shelf, report)
    elif report.suffix.lower() == ".xlsx":
        write_xlsx_report(source, shelf, report)
    else:
        with report.open("wb") as target:
            write_report(told, shelf, target)


def _complaints(shelf: Shelf, sheets: Sequence[str]) -> Iterator[str]:
    for row in shelf.rows():
        if row.fate == Fate.REFUSED:
            said = "; ".join(map(in_words, said_from(row.said).problems))
            yield told_plainly(f"row {row.number}: {said}", sheets)
