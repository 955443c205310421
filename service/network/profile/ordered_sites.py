"""The sites of a stream from the headwater down, and those that have no place in that order."""

from collections.abc import Sequence
from dataclasses import dataclass

from service.sites.tables import Site


@dataclass(frozen=True, slots=True)
class PlacedSite:
    """A site with its distance from the mouth."""

    code: str
    school: str
    stream_km: float


@dataclass(frozen=True, slots=True)
class OrderedSites:
    """Placed sites, the one furthest from the mouth first; ``apart`` gives code and reason of the others."""

    placed: tuple[PlacedSite, ...]
    apart: tuple[tuple[str, str], ...]


def order_sites(sites: Sequence[Site]) -> OrderedSites:
    """Return sites in order down the stream; of several at one distance only the first code has a place."""
    placed: dict[float, PlacedSite] = {}
    apart: list[tuple[str, str]] = []
    for site in sorted(sites, key=lambda site: site.code):
        if site.stream_km is None:
            apart.append((site.code, "Its distance from the mouth is not known; enter stream_km."))
        elif site.stream_km in placed:
            same = placed[site.stream_km].code
            apart.append(
                (site.code, f"Nobody can tell whether it lies above or below {same}: same stream_km.")
            )
        else:
            placed[site.stream_km] = PlacedSite(site.code, site.school, site.stream_km)
    return OrderedSites(tuple(placed[km] for km in sorted(placed, reverse=True)), tuple(apart))
