"""Who takes care of which mistake of the trade."""

import csv
from pathlib import Path

TABLE = Path(__file__).with_name("entry_errors.csv")


def handled_by() -> dict[str, dict[str, str]]:
    with TABLE.open(encoding="utf-8", newline="") as file:
        return {row["mistake"]: row for row in csv.DictReader(file)}
