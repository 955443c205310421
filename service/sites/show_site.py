"""A site as a caller may see it."""

from service.schools.caller import Caller
from service.sites.schemas import SiteAnswer, WatershedAnswer
from service.sites.tables import Site


def rounded_place(degrees: float | None, decimals: int | None) -> float | None:
    """Return degrees of latitude or longitude as those see them who see so many decimals; ``None``: all."""
    return degrees if degrees is None or decimals is None else round(degrees, decimals)


def shown_place(site: Site, caller: Caller) -> dict[str, float | None]:
    """Return latitude and longitude of a site, exact only for its own school and the coordinator."""
    decimals = None if caller.sees_school(site.school) else site.public_decimals
    return {
        "latitude": rounded_place(site.latitude, decimals),
        "longitude": rounded_place(site.longitude, decimals),
    }


def shown_site(site: Site, caller: Caller) -> SiteAnswer:
    """Return a site with its place as the caller may see it."""
    watershed = None
    if site.watershed_scheme is not None and site.watershed_code is not None:
        watershed = WatershedAnswer(scheme=site.watershed_scheme, code=site.watershed_code)
    fields = site.model_dump(
        exclude={"watershed_scheme", "watershed_code", "created_at", "latitude", "longitude"}
    )
    return SiteAnswer(**fields, **shown_place(site, caller), watershed=watershed)
