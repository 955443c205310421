"""The long form of `tests/contracts/test_migration_drill.py`.

python -m tests.soak.migration_drill [--visits 10000] [--only sqlite]
"""

import argparse
import sys
import time

from tests.contracts.migration_drill import drill
from tests.soak.databases import KINDS, new_database


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--visits", type=int, default=10_000)
    parser.add_argument("--only", choices=KINDS, action="append")
    asked = parser.parse_args()
    for kind in asked.only or KINDS:
        begun = time.monotonic()
        with new_database(kind) as (url, _, _):
            rows = drill(url, asked.visits)
        took_s = time.monotonic() - begun
        print(
            f"{kind}: {asked.visits} odd visits, {rows} rows, down and up as declared, {took_s:.0f} s",
            flush=True,
        )
    return 0


if __name__ == "__main__":
    sys.exit(main())
