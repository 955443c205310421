"""The slips that are tried. Where several explain a number equally well, the one listed first is named."""

from service.science.qa.slips import (
    conductance,
    counted,
    decimal_point,
    exchanged,
    nutrients,
    oxygen,
    pressure,
    temperature,
    transparency,
    zero,
)
from service.science.qa.slips.slip import NumberlessSlip, Slip

SLIPS: tuple[Slip, ...] = (
    temperature.FAHRENHEIT,
    temperature.CELSIUS,
    oxygen.OXYGEN_BOXES,
    oxygen.PERCENT_ON_METER,
    oxygen.MG_PER_L_IN_PERCENT,
    counted.DROPS,
    counted.COLONIES,
    transparency.MILLIMETRES,
    nutrients.NITRATE_AS_NO3,
    nutrients.NITRATE_AS_N,
    nutrients.PHOSPHATE_AS_PO4,
    nutrients.PHOSPHATE_AS_P,
    conductance.MILLISIEMENS,
    conductance.MICROSIEMENS,
    *pressure.PRESSURE_UNITS,
    decimal_point.LEFT_OUT,
    oxygen.PERCENT_WORKED_OUT,
    exchanged.PH_AND_TEMPERATURE,
    exchanged.TEMPERATURE_AND_OXYGEN,
    exchanged.PH_AND_OXYGEN,
    transparency.INCHES,
    decimal_point.TOO_FAR_LEFT,
    temperature.AIR_AND_WATER,
)

NUMBERLESS_SLIPS: tuple[NumberlessSlip, ...] = (zero.NOT_MEASURED, counted.TOO_MANY_TO_COUNT)
