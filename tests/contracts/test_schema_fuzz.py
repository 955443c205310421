"""The service does what its own document says, also where it is asked what nobody would ask.

No answer of 500 and more, none that its schema does not describe, no status that is not documented: every
check of schemathesis is on. Requests follow from the document by rule (coverage), at random, and one from the
answer to another (stateful).
"""

import pytest

from service.app import create_app
from service.core.settings import Settings
from tests.api import Api
from tests.contracts.fuzzed_schema import fuzz

on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
AT_RANDOM = {"fuzzing": 5, "stateful": 20}
FEWEST_CASES = 2000


@on_sqlite
def test_every_answer_to_the_coordinator_is_as_described(api: Api, database_url: str) -> None:
    app = create_app(Settings(database_url=database_url))
    found = fuzz(app, api.keys["coordinator"], {"coverage": None, **AT_RANDOM})
    assert found.failures == []
    assert found.cases.total() >= FEWEST_CASES
    assert "GET /v1/visits" in found.succeeded("fuzzing")
    assert found.succeeded("stateful")  # a walk that never succeeds goes nowhere


@on_sqlite
@pytest.mark.parametrize("who", ["heron", None])
def test_every_answer_to_others_is_as_described(api: Api, database_url: str, who: str | None) -> None:
    app = create_app(Settings(database_url=database_url))
    found = fuzz(app, api.keys[who] if who else None, AT_RANDOM)
    assert found.failures == []
    assert "GET /v1/visits" in found.succeeded("fuzzing")
