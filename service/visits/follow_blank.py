"""What a changed blank means for the box of the kit that it was made with."""

from collections.abc import Iterable

from sqlmodel import Session

from service.science.flags import DOUBTED
from service.science.types import VisitKind
from service.sites.keep_lot import note_blank
from service.visits.queries import newest_blank
from service.visits.record import VisitRecord


def follow_blank(session: Session, *records: VisitRecord) -> None:
    """Let the newest blank that is still in the record speak for each box; without one the box is clean.

    ``records`` are the visit as it was and as it is. Releasing a blank that showed colour says that the
    colour was real, so the box stays failed.
    """
    for school, lot in sorted(set(_boxes(records))):
        newest = newest_blank(session, school, lot)
        failed = newest is not None and newest["flag"] in DOUBTED
        note_blank(session, school, lot, newest["observed_on"] if newest and failed else None)


def _boxes(records: Iterable[VisitRecord]) -> Iterable[tuple[str, str]]:
    for record in records:
        if record.visit.kind is VisitKind.FIELD_BLANK:
            yield from ((record.visit.school, row.kit_lot) for row in record.readings if row.kit_lot)
