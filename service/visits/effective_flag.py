"""The flag that stands, which a person may have set, beside the flag that the checks gave."""

from collections.abc import Iterable

from service.science.flags import Flag, roll_up
from service.visits.record import VisitRecord
from service.visits.tables import WHOLE_VISIT, VisitFinding, VisitReading


def flag_of_checks(reading: VisitReading, findings: Iterable[VisitFinding]) -> Flag:
    """Return what the checks said together of one reading, whatever was decided since.

    ``findings`` may hold those of other readings too.
    """
    if reading.value is None:
        return Flag.MISSING
    return roll_up(finding.flag for finding in findings if finding.position == reading.position)


def flag_of_visit(record: VisitRecord) -> Flag:
    """Return the worst that stands anywhere in a visit: its readings as decided, and its own checks."""
    of_visit = [finding.flag for finding in record.findings if finding.position == WHOLE_VISIT]
    readings = [reading.flag for reading in record.readings if reading.value is not None]
    return roll_up([*readings, roll_up(of_visit)])
