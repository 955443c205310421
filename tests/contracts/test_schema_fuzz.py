"""The service does what its own document says, also where it is asked what nobody would ask.

No answer of 500 and more, none that its schema does not describe, no status that is not documented: every
check of schemathesis is on. Requests follow from the document by rule (coverage), at random (fuzzing), and
one from the answer to another (stateful). The long form is `python -m tests.soak.schema_fuzz`.
"""

import pytest

from service.app import create_app
from service.core.settings import Settings
from tests.api import Api
from tests.contracts.fuzzed_schema import Phases, fuzz

on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
BY_RULE = {"coverage": {"mode": "positive"}}
AT_RANDOM = {"fuzzing": {"max-examples": 2}}
STEP_BY_STEP = {"stateful": {"max-examples": 25, "mode": "positive"}}
FEWEST_CASES, FEWEST_STEPS = 2000, 3


@on_sqlite
def test_every_answer_to_the_coordinator_is_as_described(api: Api, database_url: str) -> None:
    app = create_app(Settings(database_url=database_url))
    found = fuzz(app, api.keys["coordinator"], BY_RULE | AT_RANDOM | STEP_BY_STEP)
    assert found.failures == []
    assert found.cases.total() >= FEWEST_CASES
    assert "GET /v1/visits" in found.succeeded("fuzzing")
    assert len(found.followed) >= FEWEST_STEPS, found.followed  # else the walks lead nowhere


@on_sqlite
@pytest.mark.parametrize(
    ("who", "phases"), [("heron", AT_RANDOM | STEP_BY_STEP), (None, AT_RANDOM)], ids=["school", "nobody"]
)
def test_every_answer_to_others_is_as_described(
    api: Api, database_url: str, who: str | None, phases: Phases
) -> None:
    app = create_app(Settings(database_url=database_url))
    found = fuzz(app, api.keys[who] if who else None, phases)
    assert found.failures == []
    assert "GET /v1/visits" in found.succeeded("fuzzing")
    assert len(found.followed) >= FEWEST_STEPS or "stateful" not in phases, found.followed
