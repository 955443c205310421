"""A shelf for one import: its rows by visit, in a database of its own that is gone when it is closed.

SQLite keeps a database without a name in memory while it is small and in a file without a name beyond that,
which nobody else can open and which no crash leaves behind. So memory stays flat however long the file is,
and visits come out in the order of time whatever the order of its rows.
"""

import sqlite3
from collections.abc import Iterable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import NamedTuple

NOWHERE = ""
TABLES = """
CREATE TABLE visit (
    number INTEGER PRIMARY KEY, instant TEXT, mark TEXT UNIQUE, outcome TEXT
);
CREATE INDEX visit_in_time ON visit (instant, mark);
CREATE TABLE sheet_row (number INTEGER PRIMARY KEY, visit INTEGER, part TEXT, fate TEXT, said TEXT);
CREATE INDEX row_of_visit ON sheet_row (visit, number);
"""
NEW_VISIT = "INSERT INTO visit (instant, mark) VALUES (?, ?) ON CONFLICT DO NOTHING"
NEW_ROW = "INSERT INTO sheet_row VALUES (?, (SELECT number FROM visit WHERE mark = ?), ?, ?, ?)"
AT_ONCE = 1000

Place = tuple[str, str]  # instant and mark of a visit: its place in the order of time
FIRST: Place = ("", "")


@dataclass(frozen=True, slots=True)
class ShelvedRow:
    """A row as it is put on the shelf.

    ``mark`` is the same for the rows of one visit, ``None`` for a row of none; ``part`` is what the row adds
    to its visit; ``fate`` is ``None`` until it is known.
    """

    number: int
    instant: str = ""
    mark: str | None = None
    part: str | None = None
    fate: str | None = None
    said: str = ""


class WaitingRow(NamedTuple):
    """A row of a visit that waits for its verdict; one that is refused already has its fate."""

    number: int
    part: str | None
    fate: str | None
    said: str


@dataclass(frozen=True, slots=True)
class WaitingVisit:
    """A visit with its rows, the first of the file first."""

    number: int
    place: Place
    rows: Sequence[WaitingRow]

    @property
    def mark(self) -> str:
        """What is the same for all its rows."""
        return self.place[1]


@dataclass(frozen=True, slots=True)
class ToldRow:
    """A row at the end: its fate, what is said of it, and the outcome of its visit."""

    number: int
    fate: str
    said: str
    outcome: str | None


class Shelf:
    """Rows, by visit."""

    def __init__(self, store: sqlite3.Connection) -> None:
        self._store = store

    def put(self, rows: Iterator[ShelvedRow]) -> Iterator[int]:
        """Put rows on the shelf as they come, and give how many stand there from time to time."""
        batch: list[ShelvedRow] = []
        stored = 0
        for row in rows:
            batch.append(row)
            if len(batch) == AT_ONCE:
                self._put(batch)
                stored += len(batch)
                batch.clear()
                yield stored
        self._put(batch)
        yield stored + len(batch)

    def _put(self, rows: Sequence[ShelvedRow]) -> None:
        visits = [(row.instant, row.mark) for row in rows if row.mark is not None]
        self._store.executemany(NEW_VISIT, visits)
        self._store.executemany(
            NEW_ROW, [(row.number, row.mark, row.part, row.fate, row.said) for row in rows]
        )

    def count_visits(self) -> int:
        """Return how many visits the rows make."""
        return int(self._store.execute("SELECT count(*) FROM visit").fetchone()[0])

    def visits_after(self, place: Place, limit: int) -> list[WaitingVisit]:
        """Return visits in the order of time, beginning after a place."""
        found = self._store.execute(
            "SELECT number, instant, mark FROM visit WHERE (instant, mark) > (?, ?) "
            "ORDER BY instant, mark LIMIT ?",
            (*place, limit),
        ).fetchall()
        return [
            WaitingVisit(number, (instant, mark), self._rows_of(number)) for number, instant, mark in found
        ]

    def _rows_of(self, visit: int) -> list[WaitingRow]:
        wanted = "SELECT number, part, fate, said FROM sheet_row WHERE visit = ? ORDER BY number"
        return [WaitingRow(*row) for row in self._store.execute(wanted, (visit,))]

    def settle(self, visit: int, outcome: str | None, rows: Iterable[tuple[int, str, str]]) -> None:
        """Write what became of a visit, and fate and words of each of its rows."""
        self._store.execute("UPDATE visit SET outcome = ? WHERE number = ?", (outcome, visit))
        self._store.executemany(
            "UPDATE sheet_row SET fate = ?, said = ? WHERE number = ?",
            [(fate, said, number) for number, fate, said in rows],
        )

    def rows(self) -> Iterator[ToldRow]:
        """Give every row in the order of the file."""
        found = self._store.execute(
            "SELECT sheet_row.number, fate, said, outcome FROM sheet_row "
            "LEFT JOIN visit ON visit.number = sheet_row.visit ORDER BY sheet_row.number"
        )
        for number, fate, said, outcome in found:
            yield ToldRow(number, fate, said, outcome)

    def outcomes(self) -> Iterator[str]:
        """Give what became of each visit, in the order of time."""
        found = self._store.execute(
            "SELECT outcome FROM visit WHERE outcome IS NOT NULL ORDER BY instant, mark"
        )
        for (outcome,) in found:
            yield outcome

    def totals(self) -> dict[str, int]:
        """Return how many rows had each fate."""
        return dict(self._store.execute("SELECT fate, count(*) FROM sheet_row GROUP BY fate").fetchall())


@contextmanager
def open_shelf() -> Iterator[Shelf]:
    """Give an empty shelf, and remove it with all that is on it in any case."""
    store = sqlite3.connect(NOWHERE, isolation_level=None)
    try:
        store.executescript("PRAGMA temp_store = FILE; PRAGMA journal_mode = OFF; PRAGMA synchronous = OFF;")
        store.executescript(TABLES)
        yield Shelf(store)
    finally:
        store.close()
