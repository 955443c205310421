"""The kits the schools own, and how a true value becomes what a class writes down."""

from dataclasses import dataclass

import numpy as np
from records import Reading
from stream_model import Water


@dataclass(frozen=True)
class Scale:
    """What a kit can show, in its own unit: marks, or even steps from ``lower`` to ``upper``."""

    unit: str
    marks: tuple[float, ...] = ()
    lower: float = 0.0
    upper: float = 0.0
    step: float = 1.0
    factor: float = 1.0  # from the model's unit to the kit's
    offset: float = 0.0


NITRATE_AS_NO3_PER_N = 4.426644  # IUPAC abridged atomic weights
TUBE = {f"transparency-tube-{length}": Scale("cm", lower=1, upper=length) for length in (60, 100, 120)}
SCALES: dict[str, Scale] = {
    "thermometer-alcohol": Scale("degC", lower=-5, upper=45, step=0.5),
    "thermometer-digital": Scale("degC", lower=-40, upper=70, step=0.1),
    "thermometer-fahrenheit": Scale("degF", lower=20, upper=110, step=1, factor=1.8, offset=32),
    "ph-tablet-comparator": Scale("std units", marks=(4, 5, 6, 7, 8, 9, 10)),
    "ph-comparator-wide": Scale("std units", lower=3, upper=10.5, step=0.5),
    "ph-comparator-narrow": Scale("std units", lower=6, upper=8.4, step=0.2),
    "ph-meter": Scale("std units", lower=0, upper=14, step=0.1),
    "oxygen-tablet-comparator": Scale("mg/L", marks=(0, 4, 8)),
    "oxygen-ampoule-comparator": Scale("mg/L", lower=1, upper=12, step=1),
    "oxygen-drop-count": Scale("mg/L", lower=0.5, upper=20, step=0.5),
    "oxygen-titrator": Scale("mg/L", lower=0.2, upper=20, step=0.2),
    "oxygen-meter": Scale("mg/L", lower=0, upper=20, step=0.1),
    **TUBE,
    "conductivity-meter": Scale("uS/cm", lower=0, upper=2000, step=10),
    "nitrate-tablet-comparator": Scale("mg/L as NO3", marks=(5, 20, 40), factor=NITRATE_AS_NO3_PER_N),
    "nitrate-strip": Scale("mg/L as NO3", marks=(1, 2, 5, 10, 20, 50), factor=NITRATE_AS_NO3_PER_N),
    "nitrate-zinc-comparator": Scale("mg/L as N", marks=(0.25, 0.5, 1, 2, 4, 6, 8, 10)),
    "phosphate-tablet-comparator": Scale("mg/L as PO4", marks=(1, 2, 4)),
    "phosphate-ascorbic-comparator": Scale("mg/L as PO4", lower=0.1, upper=2, step=0.1),
}

PARAMETERS = (
    "water_temperature",
    "ph",
    "dissolved_oxygen",
    "transparency",
    "nitrate",
    "phosphate",
    "specific_conductance",
)
EVERY_THIRD_WEEK = frozenset({"nitrate", "phosphate"})
WAIT_MINUTES = {"oxygen-tablet-comparator": 5, "oxygen-ampoule-comparator": 2}
FINE_OXYGEN_KITS = frozenset({"oxygen-titrator", "oxygen-meter"})
REPEAT_SHARE = 0.1

TABLETS = (
    "thermometer-alcohol ph-tablet-comparator oxygen-tablet-comparator transparency-tube-60 "
    "nitrate-tablet-comparator phosphate-tablet-comparator"
)
# School -> kits of the first and of the second school year, in the order of PARAMETERS. Half of the
# schools move from tablets to a titrator or a meter between the two; a dash keeps the first year's.
OUTFITS: dict[str, tuple[str, str]] = {
    "lanternfield": (
        TABLETS,
        "thermometer-alcohol ph-comparator-wide oxygen-titrator transparency-tube-60 "
        "nitrate-zinc-comparator phosphate-ascorbic-comparator",
    ),
    "quillmere": (
        "thermometer-alcohol ph-comparator-narrow oxygen-titrator transparency-tube-120 "
        "nitrate-zinc-comparator phosphate-ascorbic-comparator conductivity-meter",
        "-",
    ),
    "otterlow": (
        TABLETS,
        "thermometer-digital ph-meter oxygen-meter transparency-tube-120 "
        "nitrate-zinc-comparator phosphate-ascorbic-comparator conductivity-meter",
    ),
    "pebblegate": (TABLETS, "-"),
    "copperleaf": (
        "thermometer-alcohol ph-tablet-comparator oxygen-tablet-comparator transparency-tube-120 "
        "nitrate-tablet-comparator phosphate-tablet-comparator conductivity-meter",
        "thermometer-digital ph-meter oxygen-titrator transparency-tube-120 "
        "nitrate-zinc-comparator phosphate-ascorbic-comparator conductivity-meter",
    ),
    "wrenfold": (
        "thermometer-alcohol ph-comparator-wide oxygen-ampoule-comparator transparency-tube-100 "
        "nitrate-strip phosphate-ascorbic-comparator",
        "-",
    ),
    "tansyford": (
        TABLETS,
        "thermometer-alcohol ph-comparator-wide oxygen-titrator transparency-tube-60 "
        "nitrate-zinc-comparator phosphate-ascorbic-comparator",
    ),
    "harrowmoss": (
        "thermometer-fahrenheit ph-comparator-narrow oxygen-drop-count transparency-tube-100 "
        "nitrate-strip phosphate-ascorbic-comparator conductivity-meter",
        "-",
    ),
}


def kits_of(school: str, school_year: int) -> dict[str, str]:
    """Return parameter -> kit code of a school in a school year (0 or 1)."""
    first, second = OUTFITS[school]
    codes = (first if school_year == 0 or second == "-" else second).split()
    return dict(zip(PARAMETERS, codes, strict=False))


def read_kit(kit: str, true_value: float) -> tuple[float, str | None]:
    """Return what a kit shows for a true value: the nearest mark, or a limit with ``<`` or ``>``."""
    scale = SCALES[kit]
    value = true_value * scale.factor + scale.offset
    if scale.marks:
        return _nearest_mark(scale.marks, value)
    shown = round(value / scale.step) * scale.step
    if kit in TUBE and value >= scale.upper:
        return scale.upper, ">"
    if shown > scale.upper:
        return scale.upper, ">"
    if shown < scale.lower:
        return scale.lower, "<"
    return round(shown, 4), None


def _nearest_mark(marks: tuple[float, ...], value: float) -> tuple[float, str | None]:
    if value < marks[0] / 2:
        return marks[0], "<"
    if value > marks[-1] + (marks[-1] - marks[-2]) / 2:
        return marks[-1], ">"
    return min(marks, key=lambda mark: abs(mark - value)), None


def measure(water: Water, kits: dict[str, str], week: int, rng: np.random.Generator) -> list[Reading]:
    """Return the readings of one visit, in the order in which the class writes them."""
    readings = []
    for parameter, kit in kits.items():
        if parameter in EVERY_THIRD_WEEK and week % 3:
            continue
        true_value = float(getattr(water, parameter))
        readings.append(_reading(parameter, kit, true_value, rng))
        if kit in FINE_OXYGEN_KITS and rng.random() < REPEAT_SHARE:
            again = _reading(parameter, kit, true_value + float(rng.normal(0, 0.1)), rng)
            again.replicate = 2
            readings.append(again)
    return readings


def _reading(parameter: str, kit: str, true_value: float, rng: np.random.Generator) -> Reading:
    value, censored = read_kit(kit, true_value)
    reading = Reading(parameter, value, censored, SCALES[kit].unit, kit)
    said = rng.random() < 0.85
    if parameter == "water_temperature" and said:
        reading.seconds_in_water = int(rng.choice([60, 60, 90, 120]))
    if parameter == "dissolved_oxygen":
        reading.minutes_waited = WAIT_MINUTES.get(kit)
        reading.bubble_free = True if said else None
    if parameter == "transparency" and said:
        reading.undisturbed_water = True
    return reading
