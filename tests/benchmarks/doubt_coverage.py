"""How often the 90 % ranges of the scores hold the true value: 88 to 92 % is the goal.

`python -m tests.benchmarks.doubt_coverage [--communities N] [--catches N] [--seed S]`. For each index with a
range: of all catches of 50, 100, 200 and 400 animals from invented communities (`community_model.py`), the
percentage whose range holds the true value, and in brackets the percentage of ranges that lie wholly below it
and wholly above it.

The true value is that of the whole community for shares and means. Every other index hangs on the number of
animals; its true value is the mean of the index over all catches of that size, which is what its range is
about. The catches of the run stand for all of them. Last it prints how often the true value was in a band, by
the chance that was given to the band.
"""

import argparse
import math
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

import numpy as np

from service.reference.load import load_catalogue
from service.science.catch import Catch
from service.science.scores.banding import band_of, round_half_up
from service.science.scores.index import Score
from service.science.scores.registry import score_catch
from tests.benchmarks.community_model import Community, invent_community

SIZES = (50, 100, 200, 400)
LOWEST, HIGHEST = 88.0, 92.0
OF_THE_COMMUNITY = ("family-biotic-core", "family-biotic-extended", "ept-percent")
WHOLE = 1_000_000
SEEDS = 2**31
CHANCES = (0.0, 0.1, 0.3, 0.5, 0.7, 0.9, 1.0)
DEFINITIONS = load_catalogue().definitions


@dataclass(frozen=True)
class Held:
    """One range beside the true value, and the chance of each band beside the band of the true value."""

    index: str
    truth: str
    column: str
    misses_low: bool
    misses_high: bool
    chances: tuple[tuple[float, bool], ...]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--communities", type=int, default=80)
    parser.add_argument("--catches", type=int, default=15, help="of each size from each community")
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args()
    rng = np.random.default_rng(asked.seed)
    held: list[Held] = []
    for _ in range(asked.communities):
        held += of_catches(invent_community(rng), asked.catches, rng)
    print(f"{asked.communities} communities, {asked.catches} catches of each size, seed {asked.seed}")
    print_coverage(held)
    print_bands(held)


def of_catches(community: Community, number: int, rng: np.random.Generator) -> Iterator[Held]:
    """Yield what the ranges of catches from one community hold."""
    whole = {score.index: score.value for score in _scores(community.whole(WHOLE), 0)}
    for size in SIZES:
        scored: defaultdict[str, list[Score]] = defaultdict(list)
        for catch in community.catches(size, number, rng):
            for score in _scores(catch, int(rng.integers(SEEDS))):
                scored[score.index].append(score)
        for index, scores in scored.items():
            truths = [whole[index]] * number if index in OF_THE_COMMUNITY else expected_values(scores)
            for score, true in zip(scores, truths, strict=True):
                if true is not None and score.low is not None and score.high is not None:
                    yield _held(score, true, f"{size} animals")


def _scores(catch: Catch, seed: int) -> tuple[Score, ...]:
    return score_catch(catch, DEFINITIONS, seed)


def expected_values(scores: Sequence[Score]) -> list[float | None]:
    """Return for each score the mean of all of them, as far from it as if its own value were not in the mean.

    A mean of n leans towards each of its values: the distance is too short by the root of (n - 1) / n.
    """
    values = [score.value for score in scores if score.value is not None]
    if len(values) < 2:
        return [None] * len(scores)
    mean, stretch = sum(values) / len(values), math.sqrt(len(values) / (len(values) - 1))
    return [None if score.value is None else score.value - stretch * (score.value - mean) for score in scores]


def _held(score: Score, true: float, column: str) -> Held:
    definition = DEFINITIONS[score.index]
    rounded = round_half_up(Decimal(f"{true:.9f}"), definition.decimals)
    band = band_of(rounded, definition.bands)
    chances = [(score.bands.get(row.name, 0.0), row.name == band) for row in definition.bands]
    return Held(
        score.index,
        "stretch" if score.index in OF_THE_COMMUNITY else "catches of this size",
        column,
        misses_low=score.high is not None and score.high < float(rounded),
        misses_high=score.low is not None and score.low > float(rounded),
        chances=tuple(chances) if score.bands else (),
    )


def print_coverage(held: Sequence[Held]) -> None:
    """Print a row for each index and a column for each size; a star marks what misses the goal."""
    columns = list(dict.fromkeys(row.column for row in held))
    print(f"\n{'true value of':<24} {'index':<24}" + "".join(f"{column:>24}" for column in columns))
    cells: defaultdict[tuple[str, str], dict[str, list[Held]]] = defaultdict(lambda: defaultdict(list))
    for row in held:
        cells[row.truth, row.index][row.column].append(row)
    for (truth, index), by_column in cells.items():
        said = "".join(f"{_coverage(by_column[column]):>24}" for column in columns)
        print(f"{truth:<24} {index:<24}{said}")
    number = len(held) // max(1, sum(len(by_column) for by_column in cells.values()))
    print(f"chance error of one number, if all catches were independent: {_error(number):.1f}")


def _coverage(rows: Sequence[Held]) -> str:
    if not rows:
        return "-"
    below, above = (
        100.0 * np.mean([getattr(row, side) for row in rows]) for side in ("misses_low", "misses_high")
    )
    share = 100.0 - below - above
    star = " " if LOWEST <= share <= HIGHEST else "*"
    return f"{share:.1f}{star} ({below:4.1f} {above:4.1f})"


def _error(number: int) -> float:
    return float(100.0 * np.sqrt(0.9 * 0.1 / max(1, number)))


def print_bands(held: Sequence[Held]) -> None:
    """Print for bands given about the same chance how often the true value was in them."""
    print("\nbands: chance given (mean) and how often the true value was in the band, %")
    for index in dict.fromkeys(row.index for row in held if row.chances):
        pairs = np.array([pair for row in held if row.index == index for pair in row.chances])
        said = []
        for low, high in pairwise(CHANCES):
            among = pairs[(pairs[:, 0] > low) & (pairs[:, 0] <= high)]
            if len(among):
                given, true = 100.0 * among.mean(axis=0)
                said.append(f"{given:.0f} -> {true:.0f} ({len(among)})")
        print(f"{index:<24} {'   '.join(said)}")


if __name__ == "__main__":
    main()
