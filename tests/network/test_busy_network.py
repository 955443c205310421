"""While others write, some of them slow to commit, walks and copies of the network stay true.

The long form is `python -m tests.soak.at_once`.
"""

from tests.api import Api
from tests.network.busy_network import BusyNetwork


def test_walks_and_copies_stay_true_while_others_write(api: Api) -> None:
    for copy in BusyNetwork(api, seed=1).live(seconds=2):
        copy.follow()
        assert copy.is_true()
