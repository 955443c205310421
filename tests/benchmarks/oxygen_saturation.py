"""Oxygen at saturation of a million waters, against the oxygen solubility of the TEOS-10 library gsw.

`python -m tests.benchmarks.oxygen_saturation [--pairs N]`; needs `pip install gsw`, which is in no lock. The
peer gives the oxygen of water at 1 atm [umol/kg] by Garcia & Gordon 1992; ours also takes the pressure of the
place.
"""

import sys
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from service.science.oxygen_saturation import oxygen_at_saturation
from tests.benchmarks.pairs import pairs_asked, say_machine, say_ratio, take_turns

WATERS, BLOCK, ONE_BY_ONE = 1_000_000, 16_384, 100_000
GOAL = 1.0
OXYGEN_MG_PER_UMOL = 31.9988e-3
AGREE_WITHIN_PERCENT = 0.03  # Benson & Krause 1984 and Garcia & Gordon 1992 differ by half of it

Temperatures = NDArray[np.float64]


def main() -> None:
    pairs = pairs_asked(__doc__)
    try:
        import gsw  # noqa: PLC0415
    except ImportError:
        sys.exit("This comparison needs gsw: pip install gsw")
    say_machine()
    temperatures_c = np.random.default_rng(1).uniform(0, 35, WATERS)
    require_same(gsw, temperatures_c[:1000])
    peer = ("gsw.O2sol_SP_pt, whole", waters_a_second(lambda: gsw.O2sol_SP_pt(0.0, temperatures_c), WATERS))
    blocks = [temperatures_c[start : start + BLOCK] for start in range(0, WATERS, BLOCK)]
    some = temperatures_c[:ONE_BY_ONE].tolist()
    for name, work, waters in (
        (f"blocks of {BLOCK}", lambda: [oxygen_at_saturation(block, 0.95) for block in blocks], WATERS),
        ("one array", lambda: oxygen_at_saturation(temperatures_c, 0.95), WATERS),
        ("one by one", lambda: [oxygen_at_saturation(one, 0.95) for one in some], ONE_BY_ONE),
    ):
        ours = (name, waters_a_second(work, waters))
        say_ratio("waters a second", *take_turns(ours, peer, pairs), "waters/s", GOAL)


def waters_a_second(work: Callable[[], object], waters: int) -> Callable[[], float]:
    def rate() -> float:
        began = time.perf_counter()
        work()
        return waters / (time.perf_counter() - began)

    return rate


def require_same(gsw: object, temperatures_c: Temperatures) -> None:
    """Stop unless both sides give the same oxygen at 1 atm, within what the formulas differ by."""
    kg_per_l = gsw.rho_t_exact(0.0, temperatures_c, 0.0) / 1000  # type: ignore[attr-defined]
    theirs = gsw.O2sol_SP_pt(0.0, temperatures_c) * OXYGEN_MG_PER_UMOL * kg_per_l  # type: ignore[attr-defined]
    apart = np.abs(oxygen_at_saturation(temperatures_c, 1.0) / theirs - 1).max() * 100
    if apart > AGREE_WITHIN_PERCENT:
        sys.exit(f"The two sides differ by {apart:.3f} %: they do not do the same work.")
    print(f"Both sides agree within {apart:.3f} %.")


if __name__ == "__main__":
    main()
