"""What became of the class's visits: for each one released, held or refused, and why."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from tests.api import Api, Json
from tests.real_input.class_files import Row

SUSPECT_OR_FAILED = (3, 4)


@dataclass(frozen=True)
class Doubt:
    """One check that finds one reading suspect or impossible; for a whole visit there is no ``value``."""

    parameter: str
    replicate: int | None
    value: float | None
    unit: str
    check: str
    flag: int
    message: str
    advice: str


@dataclass(frozen=True)
class HandedIn:
    """Rows and bodies by sample, the answer to each body, and the document that is stored now."""

    api: Api
    readings: Mapping[str, list[Row]]
    counts: Mapping[str, list[Row]]
    bodies: Mapping[str, Json]
    answers: Mapping[str, Any]
    documents: Mapping[str, Json]

    def fate(self, sample: str) -> str:
        """Return ``released``, ``held`` with the checks behind it, or ``refused`` with what was answered."""
        answer = self.answers[sample]
        told = answer.json()
        if answer.status_code != 201:
            errors = told.get("errors") or [{"pointer": "", "message": told["detail"]}]
            reasons = "; ".join(f"{error['pointer']} {error['message']}" for error in errors)
            return f"refused: {answer.status_code} {reasons}"
        reasons = ", ".join(sorted({f"{doubt.parameter} {doubt.check}" for doubt in doubts(told)}))
        return f"{told['state']}: {reasons}" if reasons else told["state"]

    def doubts(self) -> list[tuple[str, Doubt]]:
        """Return sample and doubt of everything stored that a check doubts."""
        return [(sample, doubt) for sample, document in self.documents.items() for doubt in doubts(document)]


def doubts(document: Json) -> list[Doubt]:
    """Return what the checks doubt in one visit, its readings first."""
    found = [
        Doubt(reading["parameter"], reading["replicate"], written["value"], written["unit"], *_told(check))
        for reading in document["readings"]
        for written in [reading["written"]]
        for check in reading["checks"]
    ]
    found += [Doubt("visit", None, None, "", *_told(check)) for check in document["visit_checks"]]
    return [doubt for doubt in found if doubt.flag in SUSPECT_OR_FAILED]


def _told(check: Json) -> tuple[str, int, str, str]:
    return check["check"], check["flag"], check["message"], check["advice"]


def in_short(fate: str) -> str:
    """Return the first word of a fate."""
    return fate.partition(":")[0].partition(" ")[0]


def print_fates(title: str, fates: Iterable[str]) -> None:
    """Print how many rows have each fate; seen with ``pytest -s``."""
    counted = Counter(fates)
    print(f"\n{title}")
    for fate, rows in counted.most_common():
        print(f"{rows:>7}  {fate}")
    print(f"{counted.total():>7}  in all")
