"""The tree of watersheds that the network's sites lie in."""

from collections import Counter

from sqlmodel import Session

from service.network.queries import sites_and_visits_by_watershed
from service.network.schemas import WatershedRow
from service.science.watershed_code import WatershedCode, levels
from service.sites.queries import all_watersheds


def watershed_tree(session: Session, within: WatershedCode | None) -> list[WatershedRow]:
    """Return every level above and at a site's code, with how many sites and released visits lie inside.

    ``within`` keeps those inside one watershed, itself included.
    """
    names = {(row.scheme, row.code): row.name for row in all_watersheds(session)}
    inside: Counter[tuple[str, str]] = Counter()
    visited: Counter[tuple[str, str]] = Counter()
    parents: dict[tuple[str, str], str | None] = {}
    found = sites_and_visits_by_watershed(session, within)
    counted = {(scheme, code): (sites, visits) for scheme, code, sites, visits in found}
    for scheme, code in sorted(set(names) | set(counted)):
        around = levels(WatershedCode(scheme, code))
        for level, parent in zip(around, (None, *around), strict=False):
            sites, visits = counted.get((scheme, code), (0, 0))
            inside[scheme, level] += sites
            visited[scheme, level] += visits
            parents[scheme, level] = parent
    return [
        WatershedRow(
            scheme=scheme,
            code=code,
            name=names.get((scheme, code)),
            parent=parents[scheme, code],
            sites=sites,
            visits=visited[scheme, code],
        )
        for (scheme, code), sites in sorted(inside.items())
        if within is None or (scheme == within.scheme and code.startswith(within.code))
    ]
