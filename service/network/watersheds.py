"""The tree of watersheds that the network's sites lie in."""

from collections import Counter

from sqlmodel import Session

from service.network.schemas import WatershedRow
from service.science.watershed_code import WatershedCode, levels
from service.sites.queries import all_watersheds, sites_by_watershed


def watershed_tree(session: Session, within: WatershedCode | None) -> list[WatershedRow]:
    """Return every level above and at a site's code, with how many sites lie inside.

    ``within`` keeps those inside one watershed, itself included.
    """
    names = {(row.scheme, row.code): row.name for row in all_watersheds(session)}
    inside: Counter[tuple[str, str]] = Counter()
    parents: dict[tuple[str, str], str | None] = {}
    counted = {(scheme, code): count for scheme, code, count in sites_by_watershed(session)}
    for scheme, code in sorted(set(names) | set(counted)):
        around = levels(WatershedCode(scheme, code))
        for level, parent in zip(around, (None, *around), strict=False):
            inside[scheme, level] += counted.get((scheme, code), 0)
            parents[scheme, level] = parent
    return [
        WatershedRow(
            scheme=scheme,
            code=code,
            name=names.get((scheme, code)),
            parent=parents[scheme, code],
            sites=sites,
        )
        for (scheme, code), sites in sorted(inside.items())
        if within is None or (scheme == within.scheme and code.startswith(within.code))
    ]
