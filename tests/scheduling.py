"""The order in which modules are tested, and which of them one process tests."""

import pytest
from xdist.scheduler import LoadScopeScheduling

CLASS = "tests/real_input/test_class_"  # three modules that ask for what is handed in once in a process
# What takes long, the longest first: if it began last, the other processes would have to wait for it.
LONG = (
    "tests/demo/test_demo.py",
    "tests/core/test_kill.py",
    "tests/network/ogc/test_features.py",
    CLASS,
    "tests/real_input/test_imports.py",
    "tests/contracts/test_schema_fuzz.py",
    "tests/real_input/test_volunteers.py",
    "tests/contracts/test_migration_drill.py",
    "tests/network/ogc/test_real_clients.py",
    "tests/real_input/test_crew_forms.py",
    "tests/contracts/test_privacy_walk.py",
    "tests/core/test_metrics.py",
    "tests/contracts/test_nasty_values.py",
    "tests/contracts/test_migrations.py",
)


def put_longest_first(items: list[pytest.Item]) -> None:
    """Put the tests of long modules before all others, which stay in their order."""
    place = {scope: number for number, scope in enumerate(LONG)}
    items.sort(key=lambda item: place.get(_scope(item.nodeid), len(LONG)))


class InOrder(LoadScopeScheduling):
    """Hand out one module after the other, in the order of the tests."""

    def _split_scope(self, nodeid: str) -> str:
        return _scope(nodeid)


def _scope(nodeid: str) -> str:
    return CLASS if nodeid.startswith(CLASS) else nodeid.partition("::")[0]
