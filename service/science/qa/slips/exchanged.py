"""Two numbers of one field sheet in each other's boxes."""

from service.science.kit_reading import highest_readable, lowest_readable
from service.science.qa.slips.slip import Proposal, Slip, rewritten
from service.science.qa.wording import parameter_words
from service.science.types import Reading, Visit

HIGHEST_PH = 14


def _exchange(first: str, second: str) -> Slip:
    """Return the slip of two parameters that changed places.

    Two numbers that may both be true need the past of the site; a number beyond its kit does not. One between
    two marks proves nothing: children guess between colours.
    """

    def propose(reading: Reading, visit: Visit) -> Proposal | None:
        partner = visit.first(second if reading.parameter == first else first)
        if partner is None or partner.written_censored or partner.written_value == reading.written_value:
            return None
        return Proposal(
            rewritten(reading, partner.written_value),
            rewritten(partner, reading.written_value),
            needs_season=not any(_is_impossible(one) for one in (reading, partner)),
        )

    names = f"{parameter_words(first)} and {parameter_words(second)}"
    return Slip(
        f"{names.replace(' ', '-').lower()}-exchanged",
        frozenset({first, second}),
        propose,
        f"Did {names} change places? Then it would be {{would_be}}.",
    )


def _is_impossible(reading: Reading) -> bool:
    if reading.kit is None or reading.kit_value is None:
        return reading.parameter == "ph" and reading.written_value > HIGHEST_PH
    return not lowest_readable(reading.kit) <= reading.kit_value <= highest_readable(reading.kit)


PH_AND_TEMPERATURE = _exchange("ph", "water_temperature")
TEMPERATURE_AND_OXYGEN = _exchange("water_temperature", "dissolved_oxygen")
PH_AND_OXYGEN = _exchange("ph", "dissolved_oxygen")
