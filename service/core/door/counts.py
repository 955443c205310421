"""How often each caller came, and which keys proved good, in a small file that all workers share.

It stands beside the service and is thrown away with it, so nothing of it is made durable; the database of
the network is not written for it. Where the file fails, nobody is counted and nobody is kept out.
"""

import logging
import sqlite3

LOG = logging.getLogger("wadebook.rates")
LONGEST_WAIT_S = 0.2  # all requests of the worker wait meanwhile
TABLES = """
CREATE TABLE IF NOT EXISTS came
    (since INTEGER, who TEXT, times INTEGER, PRIMARY KEY (since, who)) WITHOUT ROWID;
CREATE TABLE IF NOT EXISTS proved (who TEXT PRIMARY KEY) WITHOUT ROWID;
"""


class Counts:
    """Counts by caller and beginning of a window of time."""

    def __init__(self, file: str) -> None:
        self._store = sqlite3.connect(
            file, timeout=LONGEST_WAIT_S, isolation_level=None, check_same_thread=False
        )
        self._store.execute("PRAGMA journal_mode=WAL")  # a worker that is killed leaves no broken file
        self._store.execute("PRAGMA synchronous=OFF")
        self._store.executescript(TABLES)

    def add(self, who: str, since: int) -> int:
        """Count a caller once more, and return how often he came since the window began."""
        times = self._ask(
            "INSERT INTO came VALUES (?, ?, 1) ON CONFLICT DO UPDATE SET times = times + 1 RETURNING times",
            (since, who),
        )
        if times == 1:
            self._ask("DELETE FROM came WHERE since < ?", (since,))
        return times

    def of(self, who: str, since: int) -> int:
        """Return how often a caller came since the window began."""
        return self._ask("SELECT times FROM came WHERE since = ? AND who = ?", (since, who))

    def remember(self, who: str) -> None:
        """Keep that a key proved good."""
        self._ask("INSERT OR IGNORE INTO proved VALUES (?)", (who,))

    def forget(self, who: str) -> None:
        """Keep that a key is no longer good."""
        self._ask("DELETE FROM proved WHERE who = ?", (who,))

    def knows(self, who: str) -> bool:
        """Tell whether a key proved good."""
        return self._ask("SELECT 1 FROM proved WHERE who = ?", (who,)) == 1

    def _ask(self, statement: str, values: tuple[str | int, ...]) -> int:
        try:
            found = self._store.execute(statement, values).fetchall()
        except sqlite3.Error:
            LOG.warning("the file of the counts of requests fails; nobody is counted", exc_info=True)
            return 0
        return int(found[0][0]) if found else 0
