"""How often the interval that an index of the readings gives holds the truth of the water.

    python -m tests.benchmarks.kit_doubt_coverage

Oxygen and temperature are drawn, each is read as its kit shows it, and the visit is scored. Two cases of the
truth: anywhere within the kit's interval around the shown number, as the index supposes (wanted: 88 to 92 of
100), and the drawn values themselves, read without a slip to the nearest mark. The second shows how careful
the stated accuracies are: where one is wider than half a step, more is held. Water beyond the ends of a card
is passed over, for no mark can show it.
"""

from collections.abc import Callable
from dataclasses import replace

import numpy as np

from service.reference.load import load_catalogue
from service.science.kit_reading import interpret
from service.science.oxygen_saturation import percent_saturation
from service.science.scores.index import Measured
from service.science.scores.oxygen_saturation import oxygen_saturation
from service.science.types import Kit, Reading
from tests.science.qa.visits import visit_with

VISITS = 2000
KITS = (
    ("oxygen-tablet-comparator", "thermometer-alcohol"),
    ("oxygen-ampoule-comparator", "thermometer-alcohol"),
    ("oxygen-drop-count", "thermometer-alcohol"),
    ("oxygen-titrator", "thermometer-digital"),
    ("oxygen-meter", "thermometer-digital"),
)
Truth = Callable[[np.random.Generator, Reading, float], float]


def scale(kit: Kit) -> np.ndarray:
    """Return every number that a kit can show."""
    if kit.marks:
        return np.array([mark for mark in kit.marks if mark > 0 or kit.reads_zero])
    return np.arange(kit.lower, kit.upper + kit.step / 2, kit.step)


def read(parameter: str, kit: Kit, true_value: float) -> Reading:
    """Return the reading of the mark that lies nearest to a true value."""
    marks = scale(kit)
    shown = float(np.round(marks[np.argmin(np.abs(marks - true_value))], 6))
    listed = load_catalogue().parameters[parameter]
    return interpret(0, listed, kit, shown, kit.unit, censored=None, procedure={})


def within_the_interval(rng: np.random.Generator, reading: Reading, true_value: float) -> float:
    return float(rng.uniform(reading.low, reading.high))


def as_it_was(rng: np.random.Generator, reading: Reading, true_value: float) -> float:
    return true_value


def coverage(oxygen_kit: str, thermometer: str, truth: Truth) -> tuple[float, float, int]:
    """Return the share of intervals that hold the truth [%], their mean width [%] and how many there were."""
    catalogue, rng = load_catalogue(), np.random.default_rng(20261125)
    # Whole percents would widen every interval by up to one.
    definition = replace(catalogue.definitions["oxygen-saturation"], decimals=3)
    held, widths = 0, []
    for number in range(VISITS):
        water_c = float(rng.uniform(2, 28))
        oxygen = float(percent_to_mg(rng.uniform(40, 130), water_c))
        kit = catalogue.kits[oxygen_kit]
        if not kit.lower <= oxygen <= kit.upper:
            continue
        readings = [
            replace(read("dissolved_oxygen", kit, oxygen), position=0),
            replace(read("water_temperature", catalogue.kits[thermometer], water_c), position=1),
        ]
        score = oxygen_saturation(Measured(visit_with(*readings)), definition, number)
        if score is None or score.low is None or score.high is None:
            continue
        truly = percent_saturation(truth(rng, readings[0], oxygen), truth(rng, readings[1], water_c), 1.0)
        held += score.low <= truly <= score.high
        widths.append(score.high - score.low)
    return 100 * held / len(widths), float(np.mean(widths)), len(widths)


def percent_to_mg(percent: float, water_c: float) -> float:
    return percent / percent_saturation(1.0, water_c, 1.0)


def main() -> None:
    for title, truth in (("within the kit's interval", within_the_interval), ("as it was drawn", as_it_was)):
        print(f"truth {title}:")
        for oxygen_kit, thermometer in KITS:
            held, width, visits = coverage(oxygen_kit, thermometer, truth)
            print(
                f"  {oxygen_kit:<26} {thermometer:<20} {held:5.1f} % of {visits} intervals hold it,"
                f" mean width {width:5.1f} % of saturation"
            )


if __name__ == "__main__":
    main()
