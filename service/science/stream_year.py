"""The year of a small stream in a few numbers: how warm its water is at a latitude on a day of the year.

A yearly wave around a mean that falls from the equator to the poles, with a swing that grows on the way. Made
for one purpose: to tell a possible water temperature from an impossible one where nothing else is known.

Reference
---------
Mean and swing follow the square of the sine of the latitude, the form of the zonal mean in energy balance
climate models (North, Cahalan & Coakley 1981, Reviews of Geophysics and Space Physics 19(1):91-121; from
memory). The numbers are our own and belong to the reference data.
"""

from dataclasses import dataclass
from datetime import date
from math import cos, pi, radians, sin

from service.science.valid_range import require_within

DAYS_IN_YEAR = 365.25


@dataclass(frozen=True, slots=True)
class StreamYear:
    """The numbers of the model, of water at sea level.

    ``mean_at_equator_c`` [degC] less ``mean_fall_c`` [degC] at a pole; ``swing_at_equator_c`` [degC] and
    ``swing_rise_c`` [degC] more at a pole, half of what lies between winter and summer; ``warmest_day`` [day
    of the year, north of the equator].
    """

    mean_at_equator_c: float
    mean_fall_c: float
    swing_at_equator_c: float
    swing_rise_c: float
    warmest_day: float

    def expected_temperature_c(self, latitude_deg: float, on: date) -> float:
        """Return the temperature that a small stream has on a day, on average.

        Parameters
        ----------
        latitude_deg : float
            Latitude [degrees, north positive], -90 to 90. South of the equator the year is half a year off.
        on : date
            Local date.

        Returns
        -------
        float
            Water temperature [degC], never below 0: flowing fresh water stays there.
        """
        require_within("latitude", latitude_deg, -90.0, 90.0, "degrees")
        toward_pole = sin(radians(latitude_deg)) ** 2
        shift = 0.0 if latitude_deg >= 0 else DAYS_IN_YEAR / 2
        phase = 2 * pi * (on.timetuple().tm_yday - self.warmest_day - shift) / DAYS_IN_YEAR
        mean_c = self.mean_at_equator_c - self.mean_fall_c * toward_pole
        swing_c = self.swing_at_equator_c + self.swing_rise_c * toward_pole
        return max(mean_c + swing_c * cos(phase), 0.0)
