"""How often does the outlier check ask about a good reading, and how many slips does it catch?

`python -m tests.benchmarks.outlier_simulation [--networks N] [--seed S] [--one-day]`. Replays invented
networks through the service's own checks with the limits of its catalogue, beside the reference's figures.
"""

import argparse
import math
import time
from collections.abc import Callable, Sequence
from statistics import stdev

import numpy as np

from tests.benchmarks.blunders import BLUNDERS
from tests.benchmarks.outlier_reference import COLUMNS, Share, false_positives, power
from tests.benchmarks.outlier_replay import CLEAR, VISIT, Counts, Replay
from tests.benchmarks.pairs import say_machine
from tests.benchmarks.stream_model import FIELDS, invent_network

DEFAULT_NETWORKS, DEFAULT_SEED = 10, 1
REFERENCE_NETWORKS = 120
NOISES_ALLOWED = 2.0
CELL = 33
WHY = """
Where a cell says OUT, and why (the reference was measured with another program and plainer checks):
  by chance        one cell in twenty, more with few networks; and how big storms and the swings of the
                   weather are (tube, temp) was read off the one network that the reference printed.
  impossible       the tube ends at 150 cm here and at 120 there, oxygen at 25 and at 20 mg/L.
  + span and scale here it also asks about numbers outside the usual span (35 degC, pH 4 to 10, 3 to 15 mg/L
                   of oxygen, 20 mg/L of nitrate) and about numbers finer than the kit's step (1.2 on half
                   degrees, 8.8 on a tube of whole cm); the reference knew ends and marks of the kits only.
  statistic        a number beyond a colour card stands at its last mark, and where a full tube is the usual
                   reading nothing can be above it: such slips are left to the kit's scale.
  tube             where a full tube is the usual reading the limit itself moves with the neighbours here; the
                   reference judged such a site by its own history alone and asked about its storms.
  as answered      only neighbours that came earlier in the week, and within three days, are known: the first
                   three of eight classes in a storm are judged by their own history."""


def main() -> None:
    asked = _arguments()
    say_machine()
    began = time.perf_counter()
    rng = np.random.default_rng(asked.seed)
    found = [Replay(invent_network(rng, one_day=asked.one_day), rng).run() for _ in range(asked.networks)]
    print(
        f"{asked.networks} networks, seed {asked.seed}, visits of a week "
        f"{'on one day' if asked.one_day else 'on five school days'}, {time.perf_counter() - began:.0f} s.\n"
        f"[reference] within: the two differ by no more than {NOISES_ALLOWED:g} times the noise. The noise, "
        "+-, is the larger of\nthe binomial standard error and the one from network to network."
    )
    _say_false_positives(found)
    _say_blunders(found)
    print(WHY)


def _arguments() -> argparse.Namespace:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--networks", type=int, default=DEFAULT_NETWORKS)
    parser.add_argument("--seed", type=int, default=DEFAULT_SEED)
    parser.add_argument("--one-day", action="store_true", help="all sites of a week on one day")
    return parser.parse_args()


def _say_false_positives(found: Sequence[Counts]) -> None:
    known = false_positives()
    print("\nPer cent of good readings that are asked about (flag 3)")
    heads = ("own history only", "neighbours of the week", "neighbours, as answered")
    print(f"{'period':9}{'line':11}{'judged':>6}  " + "".join(f"{head:{CELL}}" for head in heads))
    for period in ("year1", "year2", "year3-4"):
        for name in (*FIELDS, CLEAR, VISIT):
            judged = sum(network.evaluated[name, period] for network in found)
            cells = [
                _cell(
                    [
                        Share(network.flagged[name, period, scheme], network.evaluated[name, period])
                        for network in found
                    ],
                    known.get((name, period, scheme)),
                )
                for scheme in ("own", "week", "answered")
            ]
            read = sum(network.readings[name, period] for network in found)
            share = f"{judged / read:.0%}" if read else ""
            row = "".join(f"{cell:{CELL}}" for cell in cells)
            print(f"{period:9}{name:11}{share:>6}  {row}".rstrip())


def _say_blunders(found: Sequence[Counts]) -> None:
    known = power()
    columns: dict[str, Callable[..., bool]] = {
        "impossible": lambda caught: caught.impossible,
        "scale": lambda caught: caught.unusual or caught.scale,
        "statistic": lambda caught: caught.week,
        "all": lambda caught: caught.unusual or caught.scale or caught.week,
        "answered": lambda caught: caught.unusual or caught.scale or caught.answered,
    }
    print("\nPer cent of planted slips caught in year 4, neighbours of the week (last column: as answered)")
    heads = ("impossible", "+ span and scale", "statistic alone", "all", "all, as answered")
    print(f"{'slip':26}" + "".join(f"{head:{CELL}}" for head in heads))
    for slip in BLUNDERS:
        cells = [
            _cell(
                [
                    Share(sum(map(caught, network.blunders[slip.field, slip.kind])), trials)
                    for network in found
                    if (trials := len(network.blunders[slip.field, slip.kind]))
                ],
                known[slip.field, slip.kind, column] if column in COLUMNS else None,
            )
            for column, caught in columns.items()
        ]
        print(f"{slip.field + ' ' + slip.kind:26}" + "".join(f"{cell:{CELL}}" for cell in cells).rstrip())


def _cell(networks: Sequence[Share], known: Share | None) -> str:
    """Return our share with its noise, and the reference's with whether the two agree."""
    ours = Share(sum(one.count for one in networks), sum(one.of for one in networks))
    noise = _noise(networks, ours, known)
    told = f"{ours.percent:6.2f} +-{noise:5.2f}"
    if known is None:
        return told
    agrees = abs(ours.percent - known.percent) <= NOISES_ALLOWED * noise
    return f"{told}  [{known.percent:6.2f}] {'within' if agrees else 'OUT'}"


def _noise(networks: Sequence[Share], ours: Share, known: Share | None) -> float:
    """Return the standard error of our share, or of its difference from the reference's [per cent]."""
    others = [known] if known else []
    both = [ours, *others]
    pooled = sum(share.count for share in both) / sum(share.of for share in both)
    binomial = 100 * math.sqrt(pooled * (1 - pooled) * sum(1 / share.of for share in both))
    if len(networks) < 2:
        return binomial
    # Storms and sites are shared by many readings: a network is the unit that is really drawn.
    shared = sum(1 / count for count in (len(networks), *(REFERENCE_NETWORKS for _ in others)))
    return max(binomial, stdev(one.percent for one in networks) * math.sqrt(shared))


if __name__ == "__main__":
    main()
