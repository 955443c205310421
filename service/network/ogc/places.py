"""Where sites lie as the public sees it: rounded, and so are the extents."""

import sqlalchemy as sa

from service.network.ogc.queries import Rows
from service.sites.show_site import rounded_place


def public_place(row: sa.RowMapping) -> list[float] | None:
    """Return longitude and latitude of a row as the public sees them, or ``None`` without a place."""
    decimals = row["public_decimals"]
    place = [rounded_place(row[name], decimals) for name in ("longitude", "latitude")]
    return [degrees for degrees in place if degrees is not None] or None


def box_around(rows: Rows) -> list[float] | None:
    """Return the narrowest box that holds every public place: west, south, east, north."""
    places = [place for row in rows if (place := public_place(row)) is not None]
    if not places:
        return None
    east, north = zip(*places, strict=True)
    return [min(east), min(north), max(east), max(north)]
