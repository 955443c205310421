"""Did the class stand at the site that it chose? The device knows roughly where it was.

Only the distance is told, never a coordinate: messages and evidence travel further than places may.
"""

from service.science.distance import distance_km
from service.science.flags import Flag
from service.science.qa.check import Limits, Stage, VisitCheck
from service.science.qa.wording import number_words
from service.science.types import Finding, Place, Visit

ADVICE_NEAR = (
    "Look whether you chose the right site, and let the device find its place again under the open sky. If "
    "the visit was written down somewhere else, for example at school, send it without the place. If you "
    "stood at the site, tell your coordinator: its place on the map may be wrong."
)
ADVICE_FAR = (
    "Choose the site of this visit again in the list. If it is right and the visit was written down "
    "somewhere else, send it without the place."
)


def run(visit: Visit, limits: Limits) -> Finding | None:
    """Compare where the device says it stood with where the site is.

    Parameters
    ----------
    visit : its place from the device, and the site's coordinates
    limits : ``distance_most_km`` [km], a reach and the error of a device together; ``wrong_site_km`` [km],
        from which on it can hardly be the right site

    Returns
    -------
    Finding or None
        3 beyond ``distance_most_km``; 2 when the site has no coordinates; else 1; ``None`` when the device
        gave no place, which no class has to send.
    """
    site = visit.site
    if visit.place is None:
        return None
    if site.latitude is None or site.longitude is None:
        return Finding(Flag.NOT_EVALUATED, "The site has no coordinates yet to compare the place with.")
    apart_km = distance_km(visit.place, Place(site.latitude, site.longitude))
    evidence = {
        "distance_m": round(apart_km * 1000),
        "distance_km": round(apart_km, 2),
        "distance_most_km": limits["distance_most_km"],
    }
    if apart_km <= limits["distance_most_km"]:
        return Finding(Flag.PASS, evidence=evidence)
    told = f"The device was {_distance_words(apart_km)} away from site {site.code}"
    if apart_km > limits["wrong_site_km"]:
        return Finding(Flag.SUSPECT, f"{told}. Was the wrong site chosen?", evidence, ADVICE_FAR)
    usual = f"up to {_distance_words(limits['distance_most_km'])} is usual"
    return Finding(Flag.SUSPECT, f"{told}; {usual}.", evidence, ADVICE_NEAR)


def _distance_words(apart_km: float) -> str:
    """Return a distance as a class can picture it: ``820 m (0.82 km)``, ``3.4 km``, ``120 km``."""
    if apart_km < 1:
        return f"{round(apart_km * 1000)} m ({number_words(round(apart_km, 2))} km)"
    return f"{number_words(round(apart_km, 1 if apart_km < 10 else 0))} km"


CHECK = VisitCheck(
    id="visit-place",
    version=1,
    stage=Stage.CONTRADICTION,
    run=run,
    needs=("distance_most_km", "wrong_site_km"),
)
