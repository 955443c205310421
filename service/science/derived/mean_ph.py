"""The mean of a visit's pH, where it was read more than once."""

from service.science import mean_ph
from service.science.derived.value import Derived
from service.science.types import Visit


def ph_of_replicates(visit: Visit) -> Derived | None:
    """Return the mean pH of several readings, by their hydrogen ion.

    Parameters
    ----------
    visit : Visit
        With two readings of ``ph`` [std units] or more.

    Returns
    -------
    Derived or None
        Mean pH [std units]; rises with each reading, so lower ends belong together and upper ends too.
        ``None`` with a censored reading, which has no mean.

    Reference
    ---------
    See ``mean_ph.py``.
    """
    readings = [reading for reading in visit.readings if reading.parameter == "ph"]
    if len(readings) < 2 or any(reading.censored is not None for reading in readings):
        return None
    return Derived(
        parameter="ph_mean",
        value=mean_ph.mean_ph(reading.value for reading in readings),
        unit="std units",
        low=mean_ph.mean_ph(max(reading.low, 0.0) for reading in readings),
        high=mean_ph.mean_ph(min(reading.high, 14.0) for reading in readings),
        censored=None,
        method=mean_ph.METHOD,
        assumed=(f"mean of {len(readings)} readings",),
    )
