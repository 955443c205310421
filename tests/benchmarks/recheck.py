"""P8, the half of the checks: stored visits checked again, against COPY out and in of the same rows.

`python -m tests.benchmarks.recheck [--pairs N]`. The demo network on PostgreSQL, the sides in turn. Memory is
read after every pass over all visits: flat means that a longer network needs no more of it.
"""

import resource
import time
from pathlib import Path

import psycopg
from sqlalchemy import make_url
from sqlmodel import Session

from service.core.database import make_engine
from service.core.settings import Settings
from service.demo import load_demo
from service.review.recheck import recheck_all
from tests.benchmarks.pairs import pairs_asked, say_machine, say_ratio, take_turns
from tests.benchmarks.servers import migrated_database

DATA = Path(__file__).parents[2] / "demo_data"
TABLES = ("visit", "visit_revision", "reading", "taxon_count", "finding", "derived_value", "score", "alert")
GOAL = 1 / 3  # of the speed of COPY: at most three times as long


def main() -> None:
    pairs = pairs_asked(__doc__)
    say_machine()
    with migrated_database("postgresql") as url:
        load_demo(Settings(database_url=url), DATA, None)
        ours, peer = take_turns(
            ("checked again", lambda: check_again(url)), ("COPY out and in", lambda: copy_over(url)), pairs
        )
        say_ratio("visits a second", ours, peer, "visits/s", GOAL)


def check_again(url: str) -> float:
    engine = make_engine(url)
    began = time.perf_counter()
    with Session(engine, expire_on_commit=False) as session:
        told = [differs for _, differs in recheck_all(session, Settings(), None)]
        session.commit()
    took = time.perf_counter() - began
    engine.dispose()
    peak_mb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"  {len(told)} visits checked, {sum(told)} came out differently, peak memory {peak_mb:.0f} MB")
    return len(told) / took


def copy_over(url: str) -> float:
    """Copy every row of the visits out, and in again to tables of the same shape with the same indexes."""
    address = make_url(url).set(drivername="postgresql").render_as_string(hide_password=False)
    began = time.perf_counter()
    with psycopg.connect(address) as connection:
        visits = 0
        for table in TABLES:
            connection.execute(f"CREATE TEMP TABLE copy_of_{table} (LIKE {table} INCLUDING ALL)")
            with connection.cursor().copy(f"COPY {table} TO STDOUT (FORMAT BINARY)") as out:
                rows = b"".join(out)
            with connection.cursor().copy(f"COPY copy_of_{table} FROM STDIN (FORMAT BINARY)") as into:
                into.write(rows)
            if table == "visit":
                visits = connection.execute(f"SELECT count(*) FROM copy_of_{table}").fetchone()[0]
    return visits / (time.perf_counter() - began)


if __name__ == "__main__":
    main()
