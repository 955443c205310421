"""Whatever two schools and a coordinator do in whatever order, the service is equal to a plain model of it.

The status of each request is foretold. After each step the public looks at the visit that was touched, and
one caller after another at that visit, the list and the feed; at the end all lists, histories and the trail.
"""

from copy import deepcopy
from itertools import product

import pytest
from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis.stateful import run_state_machine_as_test

from tests.api import Api, visit
from tests.contracts.network_machine import NetworkMachine, a_beginning
from tests.databases import read_content, restore_content

ANOTHER = visit(team="another")
EDIT = {"body": ANOTHER, "moved": False, "same": False}
DECISIONS = ({"action": "release"}, {"action": "reject"}, {"action": "set-flag", "reading": 0, "flag": 4})
EACH_DEED = (
    *(("edit", EDIT | {"which": which}) for which in ("current", "stale", "none")),
    ("edit", EDIT | {"which": "stale", "same": True}),
    *(("hand_in_again", {"body": ANOTHER, "nth": nth}) for nth in (0, 3)),
    *(("withdraw", {"which": which}) for which in ("current", "stale")),
    *(("decide", {"what": what, "twice": True}) for what in DECISIONS),
)


@pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
def test_each_deed_in_each_state_by_each_caller(api: Api) -> None:
    known = a_beginning(api)
    content, machine = read_content(api.engine), None
    callers = ("heron", "otter", "coordinator")
    for place, who in (*product(range(len(known.visits)), callers), (0, "reader")):
        for name, arguments in EACH_DEED:
            if machine is None or machine.known.trail != known.trail:
                restore_content(api.engine, content)
                machine = NetworkMachine(api, deepcopy(known))
            getattr(machine, name)(list(machine.known.visits.values())[place], who, **arguments)


def test_any_deeds_in_any_order(api: Api) -> None:
    known = a_beginning(api)
    content = read_content(api.engine)

    @seed(23)
    def start_anew() -> NetworkMachine:
        restore_content(api.engine, content)
        return NetworkMachine(api, deepcopy(known))

    few = settings(
        max_examples=6,
        stateful_step_count=25,
        database=None,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        phases=[Phase.generate],  # a failure is told at once; Phase.shrink takes minutes
    )
    run_state_machine_as_test(start_anew, settings=few)
