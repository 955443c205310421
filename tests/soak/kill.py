"""The long form of `tests/core/test_kill.py`; PostgreSQL itself falls as well.

python -m tests.soak.kill [--visits 20000] [--kills 100] [--falls 20] [--seed 1] [--only sqlite]
"""

import argparse
import sys
import time
from functools import partial
from random import Random

from tests.core.killed_service import Happening, faults, kill, run
from tests.postgres_server import crash_and_start
from tests.served import Service
from tests.soak.databases import KINDS, new_database


def fall(server_url: str, _: Service) -> None:
    crash_and_start(server_url)


def lives_through(kind: str, asked: argparse.Namespace) -> bool:
    with new_database(kind) as (url, server, folder):
        falls = asked.falls if server else 0
        happenings: list[Happening] = [kill] * asked.kills + [partial(fall, server)] * falls
        Random(asked.seed).shuffle(happenings)
        begun = time.monotonic()
        handed = run(url, folder, happenings, visits=asked.visits, seed=asked.seed)
        took_s = time.monotonic() - begun
        found = faults(url, handed)
    print(
        f"{kind}: {len(handed.acknowledged)} visits acknowledged in {took_s:.0f} s, {asked.kills} times "
        f"killed, {falls} times without its database; {handed.again} requests sent again, of which "
        f"{handed.known} visits were stored already; {len(found)} faults",
        flush=True,
    )
    print(*found[:20], sep="\n")
    return not found and len(handed.acknowledged) == asked.visits


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    for name, value in (("visits", 20_000), ("kills", 100), ("falls", 20), ("seed", 1)):
        parser.add_argument(f"--{name}", type=int, default=value)
    parser.add_argument("--only", choices=KINDS, action="append")
    asked = parser.parse_args()
    fine = [lives_through(kind, asked) for kind in asked.only or KINDS]
    return 0 if all(fine) else 1


if __name__ == "__main__":
    sys.exit(main())
