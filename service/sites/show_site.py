"""A site as a caller may see it."""

from service.schools.caller import Caller
from service.sites.schemas import SiteAnswer, WatershedAnswer
from service.sites.tables import Site


def shown_site(site: Site, caller: Caller) -> SiteAnswer:
    """Return a site; its exact place only for its own school and the coordinator."""
    decimals = None if caller.sees_school(site.school) else site.public_decimals

    def rounded(degrees: float | None) -> float | None:
        return degrees if degrees is None or decimals is None else round(degrees, decimals)

    watershed = None
    if site.watershed_scheme is not None and site.watershed_code is not None:
        watershed = WatershedAnswer(scheme=site.watershed_scheme, code=site.watershed_code)
    fields = site.model_dump(
        exclude={"watershed_scheme", "watershed_code", "created_at", "latitude", "longitude"}
    )
    return SiteAnswer(
        **fields, latitude=rounded(site.latitude), longitude=rounded(site.longitude), watershed=watershed
    )
