"""While others write, some of them slow to commit, walks and copies of the network stay true.

The long form is `python -m tests.soak.at_once`.
"""

from concurrent.futures import ThreadPoolExecutor, wait

from sqlmodel import Session

from service.core.settings import Settings
from service.schools.caller import Caller
from service.schools.tables import Role
from service.visits.schemas import VisitBody
from service.visits.submit import submit_visit
from tests.api import Api, visit
from tests.network.busy_network import BusyNetwork
from tests.network.test_changes import Copy

TIME_TO_OVERTAKE_S = 0.5


def test_who_follows_misses_nothing_that_is_committed_late(api: Api) -> None:
    copy, late = Copy(api), VisitBody.model_validate(visit(team="late"))
    with ThreadPoolExecutor(1) as pool, Session(api.engine) as session:
        submit_visit(session, Settings(), Caller(Role.COORDINATOR), late, dry_run=False)
        after = pool.submit(api.submit, visit(team="after"))
        wait([after], TIME_TO_OVERTAKE_S)
        copy.follow()
        session.commit()
        after.result()
    copy.follow()
    assert len(copy.visits) == 2
    assert copy.is_true()


def test_walks_and_copies_stay_true_while_others_write(api: Api) -> None:
    for copy in BusyNetwork(api, seed=1).live(seconds=1):
        copy.follow()
        assert copy.is_true()
