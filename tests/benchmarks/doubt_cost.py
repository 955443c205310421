"""What the doubt of a visit's scores costs, beside the commit that stores the visit.

`python -m tests.benchmarks.doubt_cost [--pairs N]`. A worked class catch is scored with all its draws and
with as good as none; visits are handed in, and of that the commit alone is timed. Goal: the doubt costs less.
"""

import time

from fastapi.testclient import TestClient
from sqlmodel import Session

from service.app import create_app
from service.core.settings import Settings
from service.schools.keep_key import create_key
from service.schools.tables import Role
from service.science.scores import resampling, unseen
from service.science.scores.registry import score_catch
from tests.api import catch, reading, visit
from tests.benchmarks.pairs import pairs_asked, say_machine, say_ratio, take_turns
from tests.benchmarks.servers import migrated_database
from tests.science.scores.catches import CLASS_VISIT
from tests.science.scores.definitions import DEFINITIONS

TIMES = 20
FEW_DRAWS = 2  # as good as none: what is left is the score itself
ANIMALS = (
    ("Perlidae", 3),
    ("Heptageniidae", 12),
    ("Baetidae", 21),
    ("Hydropsychidae", 34),
    ("Chironomidae", 29),
)


def main() -> None:
    pairs = pairs_asked(__doc__)
    say_machine()
    for kind in ("sqlite", "postgresql"):
        with migrated_database(kind) as url, TestClient(create_app(Settings(database_url=url))) as client:
            commits = Commits(client)
            ours, peer = take_turns(("doubt", doubt_rate), ("commit", commits.rate), pairs)
            say_ratio(f"{kind}: doubts a second ÷ commits a second", ours, peer, "/s", 1.0)


def doubt_rate() -> float:
    """Return how many times a second the doubt of a catch can be had: with all draws, less with none."""
    return TIMES / max(_scored(resampling.DRAWS) - _scored(FEW_DRAWS), 1e-9)


def _scored(draws: int) -> float:
    usual = resampling.DRAWS
    resampling.DRAWS = unseen.DRAWS = draws
    try:
        began = time.perf_counter()
        for seed in range(TIMES):
            score_catch(CLASS_VISIT, DEFINITIONS, time.time_ns() % 1_000_000 + seed)
        return time.perf_counter() - began
    finally:
        resampling.DRAWS = unseen.DRAWS = usual


class Commits:
    """The commits of visits that are handed in one after another."""

    def __init__(self, client: TestClient) -> None:
        self.client, self.took, self.number = client, 0.0, 0
        engine = client.app.state.engine  # type: ignore[attr-defined]
        with Session(engine) as session:
            _, token = create_key(session, Role.COORDINATOR, None, "benchmark")
            session.commit()
        client.headers["Authorization"] = f"Bearer {token}"
        client.post("/v1/schools", json={"code": "heron", "name": "Heron", "time_zone": "UTC"})
        client.post("/v1/sites", json={"code": "reed-02", "name": "Reed", "school": "heron"})
        dialect = engine.dialect
        commit = dialect.do_commit

        def timed(connection: object) -> None:
            began = time.perf_counter()
            commit(connection)
            self.took += time.perf_counter() - began

        dialect.do_commit = timed

    def rate(self) -> float:
        """Return commits a second of the visits' own transactions."""
        self.took = 0.0
        for _ in range(TIMES):
            self.number += 1
            body = visit(team=f"team-{self.number}", catch=catch(*ANIMALS), readings=[reading("ph", 7)])
            answer = self.client.post("/v1/visits", json=body)
            assert answer.status_code == 201, answer.text
        return TIMES / self.took


if __name__ == "__main__":
    main()
