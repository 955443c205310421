"""How many SQL statements one submission takes, and how many of them are there for the checks.

`python -m tests.benchmarks.queries`. The same visit is handed in twice in this process: as ever, and with no
checks and no look at what is around the visit. The checks may add at most two questions to the database. Once
with kits of the catalogue alone, once at a site that also knows a kit of the network's own.
"""

import json
import sys
from collections import Counter
from collections.abc import Mapping
from dataclasses import fields
from typing import Any, get_origin
from unittest.mock import patch

from fastapi.testclient import TestClient
from sqlalchemy import event

from service.app import create_app
from service.core.settings import Settings
from service.visits.surroundings import Surroundings
from tests.benchmarks.pairs import say_machine
from tests.benchmarks.servers import DATABASES, migrated_database, wadebook
from tests.benchmarks.small_network import (
    Client,
    coordinator_key,
    day,
    enter_past,
    enter_sites,
    visit_body,
)

SITE, NEIGHBOUR = "reed-01", "reed-02"
PAST_WEEKS = 10
QUESTIONS_ALLOWED = 2
SHOWN = 90
LISTED_KIT, OWN_KIT = "thermometer-digital", "thermometer-of-ours"


def main() -> int:
    say_machine()
    kept = True
    for kind in DATABASES:
        with migrated_database(kind) as url:
            key = coordinator_key(url)
            with wadebook(url) as port:
                client = Client(port, key)
                enter_sites(client, [SITE, NEIGHBOUR])
                for site in (SITE, NEIGHBOUR):
                    enter_past(client, site, PAST_WEEKS)
                kept &= _compare(f"{kind}, kits of the catalogue", url, key, LISTED_KIT)
                own = {"code": OWN_KIT, "name": "our thermometer", "kind": "thermometer", "unit": "degC"}
                own |= {"parameter": "water_temperature"}
                scale = {"lower": -5, "upper": 45, "step": 0.5, "reads_zero": True}
                client.post("/v1/kits", json.dumps(own | scale).encode())
                client.post("/v1/visits", _visit(OWN_KIT, minute=4, weeks_ago=1))
            kept &= _compare(f"{kind}, a kit of the network's own", url, key, OWN_KIT)
    return 0 if kept else 1


def _visit(kit: str, minute: int, weeks_ago: int = 0) -> bytes:
    body = json.loads(visit_body(SITE, day(weeks_ago), 3, minute))
    body["readings"][0]["kit"] = kit
    return json.dumps(body).encode()


def _compare(case: str, url: str, key: str, kit: str) -> bool:
    with TestClient(create_app(Settings(database_url=url))) as client:
        checked = _statements(client, key, _visit(kit, 1))
        with (
            patch("service.visits.build_record.look_around", lambda *_: _nothing_around()),
            patch("service.visits.assess.CHECKS", ()),
        ):
            unchecked = _statements(client, key, _visit(kit, 2))
        dry = _statements(client, key, _visit(kit, 3), dry_run=True)
    added = list((Counter(checked) - Counter(unchecked)).elements())
    questions = [statement for statement in added if statement.startswith("SELECT")]
    print(f"\n{case}: {len(checked)} statements with checks, {len(unchecked)} without; dry run {len(dry)}")
    for statement in added:
        print(f"  added: {' '.join(statement.split())[:SHOWN]} ...")
    kept = len(questions) <= QUESTIONS_ALLOWED
    print(
        f"  questions that the checks add: {len(questions)}, at most {QUESTIONS_ALLOWED}: "
        f"{'kept' if kept else 'NOT KEPT'}; statements that store findings: {len(added) - len(questions)}"
    )
    return kept


def _nothing_around() -> Surroundings:
    empty: dict[str, Any] = {
        part.name: {} if get_origin(part.type) is Mapping else () for part in fields(Surroundings)
    }
    return Surroundings(**empty)


def _statements(client: TestClient, key: str, body: bytes, *, dry_run: bool = False) -> list[str]:
    """Hand in a visit and return the statements that reached the database."""
    statements: list[str] = []

    def note(*told: Any) -> None:
        statements.append(str(told[2]))

    engine = client.app.state.engine  # type: ignore[attr-defined]
    event.listen(engine, "before_cursor_execute", note)
    try:
        answer = client.post(
            f"/v1/visits?dry_run={str(dry_run).lower()}",
            content=body,
            headers={"Authorization": f"Bearer {key}", "Content-Type": "application/json"},
        )
    finally:
        event.remove(engine, "before_cursor_execute", note)
    assert answer.status_code == (200 if dry_run else 201), answer.text
    return statements


if __name__ == "__main__":
    sys.exit(main())
