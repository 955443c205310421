"""What a row that stands for a site says of it, as the one who asks may see it."""

from typing import Annotated, Any

from pydantic import Field

from service.core.schema import Answer
from service.schools.caller import Caller
from service.sites.show_site import shown_place
from service.sites.tables import Site


class SiteFields(Answer):
    """The site of a row."""

    site: Annotated[str, Field(description="Code of the site.")]
    name: Annotated[str, Field(description="Name of the site.")]
    school: Annotated[str, Field(description="Code of the school that visits it.")]
    stream: Annotated[str | None, Field(description="Code of the stream that it lies on.")]
    stream_km: Annotated[float | None, Field(description="Kilometres upstream of the mouth.")]
    latitude: Annotated[float | None, Field(description="Degrees north, WGS 84, as far as you may see it.")]
    longitude: Annotated[float | None, Field(description="Degrees east, WGS 84, as far as you may see it.")]
    watershed_scheme: Annotated[str | None, Field(description="Scheme of the watershed's code.")]
    watershed_code: Annotated[str | None, Field(description="Code of the watershed, with its leading zeros.")]
    time_zone: Annotated[str, Field(description="Time zone of the local dates, by its IANA name.")]


OF_THE_SITE = tuple(name for name in SiteFields.model_fields if name != "site")


def site_fields(site: Site, caller: Caller) -> dict[str, Any]:
    """Return the fields of a row that stand for its site."""
    same = {name: getattr(site, name) for name in OF_THE_SITE}
    return {"site": site.code, **same, **shown_place(site, caller)}
