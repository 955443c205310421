"""The columns of a list of sites."""

from typing import Any

from service.core.formats.table import Column, Kind, Table
from service.sites.schemas import SiteAnswer

TEXT, WHOLE, NUMBER, DATE = Kind.TEXT, Kind.WHOLE, Kind.NUMBER, Kind.DATE

PLACE_COLUMNS = (
    Column("stream", TEXT, "Code of the stream that the site lies on.", may_be_empty=True),
    Column("stream_km", NUMBER, "Distance upstream of the stream's mouth.", "km", may_be_empty=True),
    Column("latitude", NUMBER, "Degrees north on WGS 84, as exact as the asker may see.", "deg", True),
    Column("longitude", NUMBER, "Degrees east on WGS 84, as exact as the asker may see.", "deg", True),
    Column(
        "watershed_scheme", TEXT, "Scheme of the watershed's code: huc or pfafstetter.", may_be_empty=True
    ),
    Column("watershed_code", TEXT, "Code of the watershed; text, so leading zeros count.", may_be_empty=True),
    Column("time_zone", TEXT, "Time zone of the local dates, by its name in the IANA list."),
)
SITES = Table(
    name="sites",
    title="Sites",
    text="One row a site: a reach of a stream that one school visits.",
    columns=(
        Column("code", TEXT, "Code of the site; never changes."),
        Column("name", TEXT, "Name of the site."),
        Column("school", TEXT, "Code of the school that visits it."),
        *PLACE_COLUMNS,
        Column("public_decimals", WHOLE, "Decimals of a degree that the public sees of the place."),
        Column("elevation_m", NUMBER, "Height above sea level.", "m", may_be_empty=True),
        Column("water_class", TEXT, "Whether it is cold or warm water: cold or warm.", may_be_empty=True),
        Column("established_on", DATE, "First local day on which the site existed.", may_be_empty=True),
    ),
    key=("code",),
    row_is_a_place=True,
)


def flat_site(site: SiteAnswer) -> dict[str, Any]:
    """Return a site as a flat row."""
    fields = site.model_dump(exclude={"watershed"})
    watershed = site.watershed
    return fields | {
        "watershed_scheme": watershed and watershed.scheme,
        "watershed_code": watershed and watershed.code,
    }
