"""The service is killed while visits come in: what it has acknowledged is there once, and whole.

The long form, with the database killed too, is `python -m tests.soak.kill`.
"""

from collections.abc import Callable
from pathlib import Path

from service.core.migrate import upgrade
from tests.core.killed_service import faults, kill, run

VISITS, KILLS = 250, 5


def test_nothing_acknowledged_is_lost_or_doubled_or_half_written(
    empty_database_url: Callable[[], str], tmp_path: Path
) -> None:
    url = empty_database_url()
    upgrade(url)
    handed = run(url, tmp_path, [kill] * KILLS, visits=VISITS)
    assert len(handed.acknowledged) == VISITS
    assert handed.again > 0
    assert faults(url, handed) == []
    assert list(tmp_path.glob("wadebook-*")) == []  # nor anything left lying about
