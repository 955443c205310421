"""Datums of coordinates: those that a map of streams may take as one, and how far others lie off."""

import re

# NAD83 and ETRS89 lie within 2 m of WGS 84 (common practice), less than anybody's receiver at a creek tells.
AS_GOOD_AS_WGS84 = re.compile(r"(wgs(19)?84|epsg4326|nad(19)?83(\(.*\))?|etrs(19)?89|epsg(4269|4258))")
# Shifts from memory: NGS on NADCON (NAD27), Ordnance Survey (OSGB36), EPSG registry (ED50, Tokyo).
APART = (
    (re.compile(r"nad(19)?27|epsg4267"), "10 to 100 m away, in Alaska and Hawaii up to 500 m"),
    (re.compile(r"ed(19)?50|epsg4230"), "80 to 150 m away"),
    (re.compile(r"osgb(19)?36|epsg4277"), "50 to 120 m away"),
    (re.compile(r"tokyo(datum)?|epsg4301"), "400 to 500 m away"),
)
ELSE = "up to several hundred metres away"


def why_not(datum: str) -> str:
    """Return why places of a datum cannot be taken as they are; nothing for one that can."""
    form = re.sub(r"[\s:_.-]", "", datum.casefold())
    if AS_GOOD_AS_WGS84.fullmatch(form):
        return ""
    far = next((told for pattern, told in APART if pattern.fullmatch(form)), ELSE)
    return (
        f"is not WGS 84: the same numbers on that datum lie {far}. Convert the coordinates to WGS 84 "
        "and send the list again"
    )
