"""Under which terms a network gives its data away: said inside every format, not only on a page."""

from dataclasses import dataclass

from service.core.settings import Settings


@dataclass(frozen=True, slots=True)
class Terms:
    """The address of the licence, and whom those who use the data are to name."""

    licence: str
    attribution: str


def terms_of(settings: Settings) -> Terms:
    """Return the terms that the network has set."""
    return Terms(settings.licence_url, settings.attributed_to)
