"""A site of a list against the site of that code that the network has."""

from typing import Any

from service.sites.schemas import SiteBody, SitePatch
from service.sites.tables import Site


def differing(body: SiteBody, site: Site) -> list[str]:
    """Return the fields of a body that are stored otherwise; those it leaves out say nothing."""
    return [name for name in sorted(body.model_fields_set) if _told(body, name) != _stored(site, name)]


def patch_of(body: SiteBody, names: list[str]) -> SitePatch:
    """Return the change that makes a stored site be as a body says in some fields."""
    named = set(names)
    if named & {"latitude", "longitude"}:
        named |= {"latitude", "longitude"}
    return SitePatch(**{name: getattr(body, name) for name in named})


def _told(body: SiteBody, name: str) -> Any:
    if name == "watershed" and body.watershed is not None:
        return body.watershed.read().text
    return getattr(body, name)


def _stored(site: Site, name: str) -> Any:
    if name == "watershed":
        return f"{site.watershed_scheme}:{site.watershed_code}"
    return getattr(site, name)
