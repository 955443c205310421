"""What a decision about a blank means for the box of the kit that the blank was made with."""

from sqlmodel import Session

from service.review.queries import DOUBTED, newest_blank
from service.science.types import VisitKind
from service.sites.keep_lot import note_blank
from service.visits.record import VisitRecord


def follow_blank(session: Session, record: VisitRecord) -> None:
    """Let the newest blank that is still in the record speak for its box; without one the box is clean.

    Releasing a blank that showed colour says that the colour was real, so the box stays failed.
    """
    if record.visit.kind is not VisitKind.FIELD_BLANK:
        return
    for lot in sorted({row.kit_lot for row in record.readings if row.kit_lot}):
        newest = newest_blank(session, record.visit.school, lot)
        failed = newest is not None and newest["flag"] in DOUBTED
        note_blank(session, record.visit.school, lot, newest["observed_on"] if newest and failed else None)
