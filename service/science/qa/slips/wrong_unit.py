"""Slips of the unit: the number is right, and stands in the box of another unit."""

from service.science.qa.slips.slip import Proposal, Slip, rewritten
from service.science.types import Reading, Visit


def wrong_unit(
    kind: str,
    parameter: str,
    *,
    written: str,
    meant: str,
    least: float,
    most: float,
    question: str,
    kit_decides: bool = False,
) -> Slip:
    """Return the slip of writing a number that was read in one unit as if it were in another.

    Parameters
    ----------
    kind, parameter, question : as in :class:`service.science.qa.slips.slip.Slip`
    written, meant : the unit that was sent, and the unit that the number was read in
    least, most : the span of numbers that bear the mark of this slip, ends included [``meant``]
    kit_decides : the kit can only show its own unit, so a kit settles it; without a kit the season must
    """

    def propose(reading: Reading, visit: Visit) -> Proposal | None:
        kit = reading.kit
        if reading.written_unit != written or not least <= reading.written_value <= most:
            return None
        if kit_decides and kit is not None and kit.unit != meant:
            return None
        corrected = rewritten(reading, reading.written_value, meant)
        return Proposal(corrected, needs_season=kit_decides and kit is None)

    return Slip(kind, frozenset({parameter}), propose, question)
