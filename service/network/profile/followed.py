"""One parameter or index followed down a stream, from the sites' readings to the reaches between them."""

from collections.abc import Collection
from dataclasses import dataclass

from service.network.profile.gather import BySite
from service.network.profile.ordered_sites import OrderedSites, PlacedSite
from service.science.reach import Reach
from service.science.stream_profile import SiteSeries, profile
from service.science.stream_profile_words import Measure

NOTHING_READ = "Nothing usable of this was released in these days."


@dataclass(frozen=True, slots=True)
class Followed:
    """What was followed over the ``placed`` sites; ``apart`` says why the others have no place."""

    measure: Measure
    parameter: str | None
    index: str | None
    placed: tuple[PlacedSite, ...]
    apart: tuple[tuple[str, str], ...]
    by_site: BySite
    reaches: tuple[Reach, ...]


def follow(
    measure: Measure,
    sites: OrderedSites,
    by_site: BySite,
    hours_known_at: Collection[str],
    *,
    parameter: str | None = None,
    index: str | None = None,
) -> Followed:
    """Return what neighbouring sites say together of a parameter or of an index.

    ``hours_known_at`` are the sites whose hours the one who asks may know.
    """
    placed = tuple(site for site in sites.placed if site.code in by_site)
    empty = tuple((site.code, NOTHING_READ) for site in sites.placed if site.code not in by_site)
    series = [
        SiteSeries(site.code, site.school, by_site[site.code], site.code in hours_known_at) for site in placed
    ]
    return Followed(
        measure=measure,
        parameter=parameter,
        index=index,
        placed=placed,
        apart=sites.apart + empty,
        by_site=by_site,
        reaches=profile(series, swings_daily=measure.swings_daily),
    )
