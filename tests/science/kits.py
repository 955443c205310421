"""Kits and parameters for the tests: kinds of method as schools use them (common practice of the trade)."""

from collections.abc import Mapping

from service.science.kit_reading import interpret
from service.science.types import Censoring, Kit, Parameter, Reading

PARAMETERS = {
    id_: Parameter(id_, id_, units[0], units, id_)
    for id_, units in {
        "water_temperature": ("degC", "degF"),
        "ph": ("std units",),
        "dissolved_oxygen": ("mg/L",),
        "dissolved_oxygen_saturation": ("%",),
        "transparency": ("cm", "in", "m"),
        "turbidity": ("NTU",),
        "specific_conductance": ("uS/cm", "mS/cm"),
        "conductivity": ("uS/cm", "mS/cm"),
        "nitrate": ("mg/L as N", "mg/L as NO3"),
        "nitrite": ("mg/L as N", "mg/L as NO2"),
        "ammonia": ("mg/L as N", "mg/L as NH3"),
        "phosphate": ("mg/L as P", "mg/L as PO4"),
        "alkalinity": ("mg/L as CaCO3", "meq/L"),
        "hardness": ("mg/L as CaCO3", "meq/L"),
        "calcium": ("mg/L",),
        "magnesium": ("mg/L",),
        "discharge": ("m3/s", "L/s"),
        "e_coli": ("MPN/100 mL", "CFU/100 mL"),
        "barometric_pressure": ("hPa", "atm"),
    }.items()
}

THERMOMETER = Kit(
    "thermometer-alcohol", "alcohol thermometer", "thermometer", "water_temperature", "degC", -5, 45, step=0.5
)
THERMOMETER_WITHIN_1 = Kit(
    "thermometer-1", "thermometer", "thermometer", "water_temperature", "degC", -5, 45, step=0.5, accuracy=1.0
)
THERMOMETER_F = Kit(
    "thermometer-f", "thermometer", "thermometer", "water_temperature", "degF", 0, 120, step=1.0
)
PH_WHOLE = Kit("ph-whole", "pH card", "comparator", "ph", "std units", 4, 10, marks=(4, 5, 6, 7, 8, 9, 10))
PH_HALF = Kit(
    "ph-half", "pH card", "comparator", "ph", "std units", 3, 10.5, marks=tuple(3 + n / 2 for n in range(16))
)
OXYGEN_TABLETS = Kit(
    "oxygen-tablets",
    "oxygen tablets",
    "comparator",
    "dissolved_oxygen",
    "mg/L",
    4,
    8,
    marks=(0, 4, 8),
    accuracy=2,
    reads_zero=False,
)
OXYGEN_DROPS = Kit(
    "oxygen-drops",
    "oxygen by drops",
    "drop-count",
    "dissolved_oxygen",
    "mg/L",
    0.5,
    20,
    step=0.5,
    reads_zero=False,
)
OXYGEN_TITRATOR = Kit(
    "oxygen-titrator",
    "oxygen titrator",
    "titrator",
    "dissolved_oxygen",
    "mg/L",
    0.2,
    20,
    step=0.2,
    accuracy=0.4,
    reads_zero=False,
)
OXYGEN_METER = Kit(
    "oxygen-meter", "oxygen meter", "meter", "dissolved_oxygen", "mg/L", 0, 20, step=0.1, accuracy=0.3
)
TUBE_60 = Kit("tube-60", "tube", "tube", "transparency", "cm", 1, 60, step=1, reads_zero=False)
TUBE_120 = Kit("tube-120", "tube", "tube", "transparency", "cm", 1, 120, step=1, accuracy=2, reads_zero=False)
TURBIDITY_METER = Kit("turbidity-meter", "meter", "meter", "turbidity", "NTU", 0, 1000, step=0.1)
NITRATE_TABLETS = Kit(
    "nitrate-tablets",
    "nitrate tablets",
    "comparator",
    "nitrate",
    "mg/L as NO3",
    5,
    40,
    marks=(5, 20, 40),
    reads_zero=False,
)
NITRATE_CARD = Kit(
    "nitrate-card",
    "nitrate card",
    "comparator",
    "nitrate",
    "mg/L as N",
    0.25,
    10,
    marks=(0.25, 0.5, 1, 2, 4, 6, 8, 10),
    reads_zero=False,
)
ALKALINITY_DROPS = Kit(
    "alkalinity-drops",
    "alkalinity by drops",
    "drop-count",
    "alkalinity",
    "mg/L as CaCO3",
    17.1,
    513,
    step=17.1,
    reads_zero=False,
)
PLATE_1ML = Kit("plate-1ml", "plate", "plate", "e_coli", "CFU/100 mL", 100, 20000, step=100, reads_zero=False)
TRAY = Kit("tray", "tray of wells", "tray", "e_coli", "MPN/100 mL", 1, 2419.6, step=0.1, reads_zero=False)


def read(
    parameter: str,
    value: float,
    unit: str | None = None,
    kit: Kit | None = None,
    censored: str | None = None,
    position: int = 0,
    procedure: Mapping[str, object] | None = None,
) -> Reading:
    """Return what the service makes of one written number."""
    side = None if censored is None else Censoring(censored)
    return interpret(
        position, PARAMETERS[parameter], kit, value, unit, censored=side, procedure=procedure or {}
    )
