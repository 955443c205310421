"""The register of changes: numbers rise in the order of commits: who asks for what is new misses none."""

import time
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor

import sqlalchemy as sa
from sqlalchemy import Engine
from sqlmodel import Session, select

from service.changes.queries import record_change
from service.changes.tables import Change, Subject
from tests.api import Api, visit

WRITERS, CHANGES_EACH = 6, 5


def committed(engine: Engine) -> list[int]:
    with Session(engine.execution_options(reads_only=True)) as session:
        return sorted(session.exec(select(Change.number)).all())


def write_changes(engine: Engine, writer: int, finish: Callable[[Session, int], None]) -> None:
    for turn in range(CHANGES_EACH):
        with Session(engine) as session:
            record_change(session, Subject.VISIT, f"{writer}-{turn}", None)
            time.sleep((writer * 7 + turn * 3) % 5 / 1000)  # some commit sooner than others
            finish(session, turn)


def test_whoever_reads_sees_the_numbers_without_a_hole_at_every_moment(engine: Engine) -> None:
    def commit_or_not(session: Session, turn: int) -> None:
        session.rollback() if turn == 2 else session.commit()

    seen = []
    with ThreadPoolExecutor(WRITERS) as pool:
        writing = [pool.submit(write_changes, engine, n, commit_or_not) for n in range(WRITERS)]
        while not all(one.done() for one in writing):
            seen.append(committed(engine))
            time.sleep(0.001)
    for one in writing:
        one.result()
    seen.append(committed(engine))
    assert len(seen[-1]) == WRITERS * (CHANGES_EACH - 1)
    assert [numbers for numbers in seen if numbers != list(range(1, len(numbers) + 1))] == []


def test_the_number_is_returned_and_stands_with_what_changed(engine: Engine) -> None:
    with Session(engine) as session:
        numbers = [record_change(session, Subject.SITE, code, "key-1") for code in ("reed-01", "reed-02")]
        session.commit()
    with Session(engine) as session:
        rows = session.exec(select(Change).order_by(sa.asc("number"))).all()
    assert [row.number for row in rows] == numbers == [1, 2]
    assert [(row.subject, row.subject_id, row.key_id) for row in rows] == [
        (Subject.SITE, "reed-01", "key-1"),
        (Subject.SITE, "reed-02", "key-1"),
    ]


def changes(api: Api) -> list[tuple[str, str]]:
    with Session(api.engine) as session:
        of_the_network = select(Change).where(Change.subject != Subject.KEY)  # the tests make keys themselves
        rows = session.exec(of_the_network.order_by(sa.asc("number"))).all()
    return [(row.subject.value, row.subject_id) for row in rows]


def test_everything_entered_or_altered_is_one_change_and_what_is_not_stored_is_none(api: Api) -> None:
    before = changes(api)
    assert before == [
        ("school", "heron"),
        ("school", "otter"),
        ("site", "reed-01"),
        ("site", "reed-02"),
        ("site", "fern-01"),
    ]
    api.call("PATCH", "/v1/schools/heron", "coordinator", json={"name": "Heron Lane School"})
    api.call("PATCH", "/v1/sites/reed-02", "coordinator", json={"stream_km": 4.6})
    stored = api.submit(visit())
    assert changes(api)[len(before) :] == [
        ("school", "heron"),
        ("site", "reed-02"),
        ("visit", stored["visit_id"]),
    ]


NOT_STORED = [
    ("/v1/visits?dry_run=true", visit(), "heron", 200),
    ("/v1/visits", visit(site="nowhere-01"), "heron", 422),
    ("/v1/visits", visit(), "otter", 403),
    ("/v1/schools", {"code": "heron", "name": "Again", "time_zone": "UTC"}, "coordinator", 409),
    ("/v1/sites", {"code": "ash-01", "name": "Ash", "school": "nobody"}, "coordinator", 422),
]


def test_what_is_tried_out_or_refused_is_no_change(api: Api) -> None:
    before = changes(api)
    for address, body, key, status in NOT_STORED:
        assert api.post(address, body, key).status_code == status
    assert changes(api) == before


def test_a_visit_sent_again_is_no_second_change(api: Api) -> None:
    body = visit(visit_id="019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11")
    api.submit(body)
    before = changes(api)
    api.submit(body)
    assert changes(api) == before
