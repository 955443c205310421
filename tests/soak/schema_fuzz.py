"""The long form of `tests/contracts/test_schema_fuzz.py`.

python -m tests.soak.schema_fuzz [--cases 100000] [--seed 1] [--only sqlite]

Turn by turn the coordinator, a school and the public ask what no turn before has asked; after each turn the
database is as it was.
"""

import argparse
import logging
import sys
import time
from collections import Counter
from itertools import cycle

from fastapi.testclient import TestClient

from service.app import create_app
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, enter_network, visit
from tests.contracts.fuzzed_schema import Fuzzed, fuzz
from tests.databases import read_content, restore_content
from tests.soak.databases import KINDS, new_database

CALLERS = ("coordinator", "heron", None)
BY_RULE = {"coverage": {"mode": "all"}}
AT_RANDOM = {"fuzzing": {"max-examples": 10}, "stateful": {"max-examples": 100, "mode": "positive"}}


def entered(url: str) -> Api:
    """Enter the network of the quick tests and three visits; return what spoke to it, with its keys."""
    with TestClient(create_app(Settings(database_url=url))) as client:
        api = Api(client, client.app.state.engine)
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        enter_network(api)
        for day in (1, 2, 3):
            api.submit(visit(observed_at=f"2026-03-0{day}T10:15:00-05:00"))
    return api


def breaches(kind: str, cases: int, seed: int) -> list[str]:
    """Ask until there were enough cases, say what came of them, and return what was not as described."""
    begun, sent, answered, steps, found = time.monotonic(), 0, Counter[int](), 0, list[str]()
    with new_database(kind) as (url, _, _):
        api = entered(url)
        content, app = read_content(api.engine), create_app(Settings(database_url=url))
        for turn, who in enumerate(cycle(CALLERS)):
            by_rule = turn < len(CALLERS)
            made = fuzz(app, api.keys.get(who or ""), BY_RULE if by_rule else AT_RANDOM, seed + turn)
            restore_content(api.engine, content)
            sent += made.cases.total()
            steps += made.followed.total()
            answered += statuses(made)
            print(f"{kind}: {sent} cases, {len(made.failures)} not as described", flush=True)
            found += [f"{kind}, {who or 'nobody'}: {told}" for told in made.failures]
            if sent >= cases:
                break
        api.engine.dispose()
    print(
        f"{kind}: {sent} cases in {time.monotonic() - begun:.0f} s, {steps} steps led on to a success; "
        f"answered {dict(sorted(answered.items()))}; {len(found)} not as described",
        flush=True,
    )
    return found


def statuses(made: Fuzzed) -> Counter[int]:
    counted: Counter[int] = Counter()
    for (_, _, status), number in made.answered.items():
        counted[status] += number
    return counted


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cases", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--only", choices=KINDS, action="append")
    asked = parser.parse_args()
    logging.disable()  # a line for each request would be read by nobody
    found = [told for kind in asked.only or KINDS for told in breaches(kind, asked.cases, asked.seed)]
    print(*found[:20], sep="\n\n")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
