"""Compare two sides in one run: they take turns, and only the ratio of their medians counts."""

import argparse
import os
import platform
from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from statistics import median

FEWEST_PAIRS = 5
SPREAD_ALLOWED = 0.30
LEAST_LIKELY_IDLE = 0.5  # of the processors: a load above it is somebody else's

Rate = Callable[[], float]  # does the work once and says how much of it a second


@dataclass(frozen=True)
class Side:
    """What one side reached, repeat by repeat, and the unit of it."""

    name: str
    rates: list[float]

    @property
    def middle(self) -> float:
        return median(self.rates)

    @property
    def spread(self) -> float:
        """How much better the best repeat was than the worst."""
        return max(self.rates) / min(self.rates) - 1


def take_turns(ours: tuple[str, Rate], peer: tuple[str, Rate], pairs: int) -> tuple[Side, Side]:
    """Let both sides do their work in turn; the first turn of each is a warm-up and is not counted."""
    sides = Side(ours[0], []), Side(peer[0], [])
    for turn in range(pairs + 1):
        for side, (_, work) in zip(sides, (ours, peer), strict=True):
            rate = work()
            if turn:
                side.rates.append(rate)
    return sides


def say_ratio(what: str, ours: Side, peer: Side, unit: str, goal: float) -> None:
    """Print both medians, their ratio, and a verdict unless a side's own repeats disagree."""
    print(f"\n{what}")
    for side in (ours, peer):
        repeats = " ".join(f"{rate:.1f}" for rate in side.rates)
        print(f"  {side.name:<44} {side.middle:9.1f} {unit}   repeats {repeats}")
    ratio = ours.middle / peer.middle
    unsteady = [side for side in (ours, peer) if side.spread > SPREAD_ALLOWED]
    verdict = "reached" if ratio >= goal else "not reached"
    if len(ours.rates) < FEWEST_PAIRS:
        verdict = f"no verdict: {len(ours.rates)} pairs, {FEWEST_PAIRS} wanted"
    if unsteady:
        told = " and ".join(f"{side.name} by {side.spread:.0%}" for side in unsteady)
        verdict = f"no verdict: repeats differ, {told}"
    print(f"  ratio {ratio:.3f}   goal at least {goal:.2f}: {verdict}")


def say_machine() -> None:
    """Print where and when this runs, and how busy the machine is."""
    one, five, _ = os.getloadavg()
    count = os.cpu_count() or 1
    print(
        f"{date.today()}, {count} processors, {platform.system()} {platform.machine()}, "
        f"Python {platform.python_version()}, load average {one:.2f} (1 min) {five:.2f} (5 min)"
    )
    if one > LEAST_LIKELY_IDLE * count:
        print("The machine is busy with other work: take the ratios, and those with caution.")


def pairs_asked(purpose: str | None) -> int:
    """Read the number of pairs from the command line."""
    parser = argparse.ArgumentParser(description=purpose)
    parser.add_argument("--pairs", type=int, default=FEWEST_PAIRS, help="repeats of each side, default 5")
    return int(parser.parse_args().pairs)
