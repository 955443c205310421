"""What was measured last as flat rows: one a site and parameter, so that no column mixes two units."""

from typing import Any

from service.core.formats.table import Column, Kind, Table
from service.network.columns import FLAGS, OF_THE_READING
from service.sites.columns import PLACE_COLUMNS

TEXT, WHOLE, NUMBER, DATE = Kind.TEXT, Kind.WHOLE, Kind.NUMBER, Kind.DATE
LATEST = Table(
    name="latest",
    title="Latest values",
    text="One row a site and parameter: the newest usable reading, or none. Ages count to the day of asking.",
    columns=(
        Column("site", TEXT, "Code of the site."),
        Column("name", TEXT, "Name of the site."),
        Column("school", TEXT, "Code of the school that visits it."),
        *PLACE_COLUMNS,
        Column("last_visit_on", DATE, "Local date of the newest released visit.", may_be_empty=True),
        Column("last_visit_age_days", WHOLE, "Days since that visit; empty: none yet.", "d", True),
        Column("parameter", TEXT, "What was measured, as in /v1/catalogue/parameters."),
        Column("value", NUMBER, "Newest value; empty where there is none.", OF_THE_READING, True),
        Column("unit", TEXT, "Unit of value, low and high."),
        Column("censored", TEXT, "< or >: the truth lies below or above value.", may_be_empty=True),
        Column("low", NUMBER, "The truth is not below this; empty: open.", OF_THE_READING, True),
        Column("high", NUMBER, "The truth is not above this; empty: open.", OF_THE_READING, True),
        Column("flag", WHOLE, f"Flag of the reading: {FLAGS}.", may_be_empty=True),
        Column("observed_on", DATE, "Local date of the reading.", may_be_empty=True),
        Column("age_days", WHOLE, "Days since the reading; empty: there is none.", "d", True),
        Column("visit_id", TEXT, "Id of the visit that it comes from.", may_be_empty=True),
    ),
    key=("site", "parameter"),
)


def flat_latest(row: dict[str, Any]) -> list[dict[str, Any]]:
    """Return a site's row as flat rows."""
    of_the_site = {name: value for name, value in row.items() if name not in ("readings", "age_days")}
    of_the_site["last_visit_age_days"] = row["age_days"]
    return [
        of_the_site | one | {"visit_id": None if one["visit_id"] is None else str(one["visit_id"])}
        for one in row["readings"]
    ]
