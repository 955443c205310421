"""Five hundred odd visits go down the migrations and up again, and lose only what is declared to be lost.

The long form is `python -m tests.soak.migration_drill`.
"""

from collections.abc import Callable

from tests.contracts.migration_drill import drill


def test_odd_visits_go_down_and_up_and_lose_only_what_is_declared(
    empty_database_url: Callable[[], str],
) -> None:
    assert drill(empty_database_url(), visits=200) > 200
