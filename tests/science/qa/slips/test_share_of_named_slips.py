"""How often is a slip named rightly? 2000 seeded blunders in a small invented network, counted.

The kinds of blunder are those of the simulation behind the outlier scheme. With the seed below 2128 blundered
readings were held (an exchange blunders two); 94.1 % were named rightly, 1.0 % wrongly, of the rest nothing
was said. Six other seeds gave 91 to 96 % and 0.6 to 1.7 %. The tests ask for a little less. Most wrong names
are a lost decimal point that °F explains as well, which is named first because it is the commoner slip.
"""

from collections import Counter
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache

import numpy as np
import pytest

from service.science.flags import Flag
from service.science.qa.engine import ReadingAssessment
from service.science.qa.explained import assess_with_slips
from service.science.qa.registry import CHECKS
from service.science.types import LikelySlip
from tests.science.qa.limits import limits_for
from tests.science.qa.slips.invented_streams import KITS, Network, on_kit, read_with

SEED, TRIALS = 2, 2000
HELD = (Flag.SUSPECT, Flag.FAIL)
COMPARATOR = "oxygen-ampoule-comparator"

Numbers = Mapping[str, float]


def scaled(parameter: str, factor: float) -> Callable[[Numbers], Numbers]:
    return lambda shown: {parameter: float(f"{shown[parameter] * factor:.6g}")}


def exchanged(first: str, second: str) -> Callable[[Numbers], Numbers]:
    return lambda shown: {first: shown[second], second: shown[first]}


def fahrenheit(shown: Numbers) -> Numbers:
    return {"water_temperature": float(round(shown["water_temperature"] * 1.8 + 32))}


def inches(shown: Numbers) -> Numbers:
    return {"transparency": float(round(shown["transparency"] / 2.54))}


@dataclass(frozen=True)
class Blunder:
    """What was written for what the kits showed; the kinds that tell it rightly, and how exactly."""

    write: Callable[[Numbers], Numbers]
    kinds: frozenset[str]
    within: float = 1e-6
    oxygen_kit: str = KITS["dissolved_oxygen"]

    @property
    def kits(self) -> Mapping[str, str]:
        return KITS | {"dissolved_oxygen": self.oxygen_kit}


TEN, TENTH = {"decimal-point-lost", "millimetres-as-centimetres"}, {"decimal-point-too-far-left"}
T, PH, OXYGEN = "water_temperature", "ph", "dissolved_oxygen"
BLUNDERS = [
    Blunder(fahrenheit, frozenset({"fahrenheit-as-celsius"}), within=0.35),
    Blunder(inches, frozenset({"inches-as-centimetres"}), within=1.5),
    *(Blunder(scaled(parameter, 10), frozenset(TEN)) for parameter in KITS),
    *(Blunder(scaled(parameter, 0.1), frozenset(TENTH)) for parameter in KITS),
    Blunder(scaled(OXYGEN, 10), frozenset(TEN), oxygen_kit=COMPARATOR),
    Blunder(scaled(OXYGEN, 0.1), frozenset(TENTH), oxygen_kit=COMPARATOR),
    Blunder(exchanged(T, PH), frozenset({"ph-and-water-temperature-exchanged"})),
    Blunder(exchanged(T, OXYGEN), frozenset({"water-temperature-and-dissolved-oxygen-exchanged"})),
    Blunder(exchanged(PH, OXYGEN), frozenset({"ph-and-dissolved-oxygen-exchanged"})),
]


def slip_of(assessed: ReadingAssessment) -> LikelySlip | None:
    return next((row.finding.likely_slip for row in assessed.results if row.finding.likely_slip), None)


@cache
def network() -> Network:
    return Network(SEED)


def outcome(assessed: ReadingAssessment, blunder: Blunder, true_value: float) -> str:
    slip = slip_of(assessed)
    if assessed.flag not in HELD:
        return "not held"
    if slip is None:
        return "silent"
    if slip.kind not in blunder.kinds or slip.would_be is None:
        return "wrong"
    return "right" if abs(slip.would_be - true_value) <= blunder.within else "wrong"


@pytest.fixture(scope="module")
def counted() -> Counter[str]:
    limits = cache(limits_for)
    draw = np.random.default_rng(SEED)
    found: Counter[str] = Counter()
    for trial in range(TRIALS):
        blunder = BLUNDERS[trial % len(BLUNDERS)]
        week = network().newest[draw.integers(len(network().newest))]
        shown = {name: on_kit(code, week.water[name]) for name, code in blunder.kits.items()}
        written = blunder.write(shown)
        visit = network().visit(week, blunder.kits, written)
        for reading, assessed in zip(
            visit.readings, assess_with_slips(visit, CHECKS, limits).readings, strict=True
        ):
            name = reading.parameter
            if name not in written:
                found["others named"] += slip_of(assessed) is not None
            elif written[name] != shown[name]:
                true_value = read_with(blunder.kits[name], shown[name]).value
                found[outcome(assessed, blunder, true_value)] += 1
    print(dict(found))  # pytest -s shows the counts
    return found


def test_most_held_blunders_are_named_rightly(counted: Counter[str]) -> None:
    held = counted["right"] + counted["wrong"] + counted["silent"]
    assert held > 0.8 * TRIALS
    assert counted["right"] > 0.91 * held


def test_few_held_blunders_are_named_wrongly(counted: Counter[str]) -> None:
    held = counted["right"] + counted["wrong"] + counted["silent"]
    assert counted["wrong"] < 0.02 * held


def test_readings_beside_a_blunder_are_not_blamed(counted: Counter[str]) -> None:
    assert counted["others named"] == 0


def test_good_readings_that_are_held_are_not_explained_away() -> None:
    held = named = 0
    for week in network().newest:
        for assessed in assess_with_slips(network().visit(week, KITS, {}), CHECKS, limits_for).readings:
            held += assessed.flag in HELD
            named += slip_of(assessed) is not None
    assert held > 5  # storms, as no neighbours are read here
    assert named == 0
