"""A database of odd visits goes down migration by migration and up again: what it keeps, what it loses."""

import json
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from hashlib import sha256
from itertools import pairwise
from typing import Any

import sqlalchemy as sa
from fastapi.testclient import TestClient
from sqlmodel import Session

from service.app import create_app
from service.core.database import make_engine
from service.core.migrate import check, downgrade, upgrade
from service.core.settings import Settings
from service.review.rescore import rescore_all
from service.schools.tables import Role
from tests.api import Api, visit
from tests.contracts.odd_visits import hand_in_odd_visits
from tests.contracts.test_migrations import REVISIONS, fill, tables
from tests.databases import VERSION_TABLE
from tests.network.reference_network import index_body


@dataclass(frozen=True)
class Lost:
    """What goes with a migration that is taken back: tables, rows, and columns with what fills them anew."""

    tables: frozenset[str] = frozenset()
    rows: tuple[tuple[str, str, Any], ...] = ()  # of a table, which have a value in a column
    columns: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)


IF_RELEASED = object()  # true where the visit is released, else false
LOST = {
    "8e41b07d52c6": Lost(frozenset({"kept_mapping"}), rows=(("change", "subject", "mapping"),)),
    "5c0d9e7ab214": Lost(
        frozenset({"answered_once"}),
        columns={
            "change": {"action": "changed", "what": ""},
            "access_key": {"last_used_at": None},
            "visit": {"published": IF_RELEASED},
        },
    ),
    "1a67e3a2fad9": Lost(
        frozenset({"criterion", "network_index"}),
        columns={
            "score": {"superseded": False},
            "visit_revision": {"gauging": None, "bottles": None, "scored_with": ""},
        },
    ),
    "d73be1687584": Lost(
        frozenset({"kit_lot", "alert", "decision"}),
        columns={
            "kit": {"tablets": None, "sample_ml": None},
            "reading": {"kit_lot": None, "anomaly": None, "residual": None, "accepted": False},
            "visit": {"kind": "routine"},
            "visit_revision": {"catch_hash": None, "latitude": None, "longitude": None},
        },
    ),
}


@dataclass(frozen=True)
class Content:
    """How many rows a table has, and a hash of each of its columns, in the order of the primary key."""

    rows: int
    columns: dict[str, str]


Contents = dict[str, Content]


def hash_of(values: Iterable[Any]) -> str:
    found = sha256()
    for value in values:
        plain = json.dumps(value, sort_keys=True) if isinstance(value, dict | list) else repr(value)
        found.update(plain.encode() + b"\n")
    return found.hexdigest()


def contents(url: str, *lost: Lost) -> Contents:
    """Return what the tables hold but for the rows that are to be lost."""
    found, engine = sa.MetaData(), make_engine(url)
    found.reflect(engine)
    with engine.begin() as connection:
        read = {
            name: (
                table.columns.keys(),
                connection.execute(kept(table, lost).order_by(*table.primary_key)).all(),
            )
            for name, table in found.tables.items()
            if name != VERSION_TABLE
        }
    engine.dispose()
    return {
        name: Content(
            len(rows), {column: hash_of(row[place] for row in rows) for place, column in enumerate(columns)}
        )
        for name, (columns, rows) in read.items()
    }


def kept(table: sa.Table, lost: Iterable[Lost]) -> sa.Select[Any]:
    gone = [row for one in lost for row in one.rows if row[0] == table.name]
    return table.select().where(*(table.columns[column] != value for _, column, value in gone))


def released(url: str) -> list[bool]:
    """Return which visits are released, in the order of their ids."""
    engine = make_engine(url)
    with engine.begin() as connection:
        found = connection.execute(sa.text("SELECT state = 'released' FROM visit ORDER BY id")).scalars()
        states = [bool(one) for one in found]
    engine.dispose()
    return states


def without(before: Contents, lost: Lost) -> Contents:
    """Return what is left when a migration is taken back."""
    left = {name: content for name, content in before.items() if name not in lost.tables}
    for name, columns in lost.columns.items():
        stays = {column: found for column, found in left[name].columns.items() if column not in columns}
        left[name] = replace(left[name], columns=stays)
    return left


def filled_anew(before: Contents, states: list[bool]) -> Contents:
    """Return what is there when all migrations were taken back and made again."""
    found = dict(before)
    for lost in LOST.values():
        for name in lost.tables:
            found[name] = Content(0, dict.fromkeys(before[name].columns, hash_of([])))
        for name, columns in lost.columns.items():
            anew = {
                column: hash_of(states if value is IF_RELEASED else [value] * before[name].rows)
                for column, value in columns.items()
            }
            found[name] = replace(found[name], columns=found[name].columns | anew)
    return found


def nothing_to_lose(before: Contents, anew: Contents) -> list[str]:
    """Return the rows and columns of which the loss would not be seen: nothing else was there before."""
    rows = {name for lost in LOST.values() for name, _, _ in lost.rows}
    return [name for name in rows if before[name].rows == anew[name].rows] + [
        f"{name}.{column}"
        for lost in LOST.values()
        for name, columns in lost.columns.items()
        for column in columns
        if before[name].columns[column] == anew[name].columns[column]
    ]


def differences(found: Contents, wanted: Contents) -> list[str]:
    """Return where the contents of tables differ, in words that stay short."""
    told = [f"{name} is there or is not" for name in found.keys() ^ wanted.keys()]
    for name in found.keys() & wanted.keys():
        here, there = found[name], wanted[name]
        told += [f"{name}: {here.rows} rows, not {there.rows}"] if here.rows != there.rows else []
        odd = {column for column, _ in here.columns.items() ^ there.columns.items()}
        told += [f"{name}: {', '.join(sorted(odd))} differ"] if odd else []
    return told


def score_anew(api: Api) -> None:
    with Session(api.engine, expire_on_commit=False) as session:
        for _ in rescore_all(session, None):
            session.commit()


def live(url: str, visits: int) -> Api:
    """Let a network use everything that a database may hold; return what spoke to it, with its key."""
    fill(url)
    settings = Settings(database_url=url, reference_visits_min=4, reference_sites_min=1)
    with TestClient(create_app(settings)) as client:
        api = Api(client, client.app.state.engine)
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        hand_in_odd_visits(api, visits)
        score_anew(api)
        body = index_body(reference_sites=["reed-02"], reference_until="2026-12-31", scoring="percentiles")
        answer = api.post("/v1/indices", body)
        assert answer.status_code == 201, answer.text
        score_anew(api)
    return api


def drill(url: str, visits: int) -> int:
    """Go all the way down and up with many odd visits, and return how many rows there were."""
    upgrade(url)
    keys = live(url, visits).keys
    before, states = contents(url), released(url)
    anew = filled_anew(contents(url, *LOST.values()), states)
    empty = [name for name, content in before.items() if content.rows == 0]
    assert empty == [], empty
    unseen = nothing_to_lose(before, anew)
    assert unseen == [], unseen
    assert set(LOST) == set(REVISIONS[1:]), "declare in LOST what each migration loses when it is taken back"
    for older, taken_back in list(pairwise(REVISIONS))[::-1]:
        wanted = without(contents(url, LOST[taken_back]), LOST[taken_back])
        downgrade(url, older)
        odd = differences(contents(url), wanted)
        assert odd == [], (taken_back, odd)
    upgrade(url)
    check(url)
    odd = differences(contents(url), anew)
    assert odd == [], odd
    with TestClient(create_app(Settings(database_url=url))) as client:
        api = Api(client, client.app.state.engine, keys)
        assert api.submit(visit("odd-0", team="after"), "coordinator")["revision"] == 1
        assert len(api.every("/v1/visits?limit=1000&state=released")) == sum(states) + 1
    downgrade(url, "base")
    assert tables(url) == {VERSION_TABLE}
    upgrade(url)
    check(url)
    return sum(content.rows for content in before.values())
