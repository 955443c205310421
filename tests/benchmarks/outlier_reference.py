"""The figures that the simulation is held against.

Source: a simulation of the same model made before this service and apart from its code: 120 invented networks
of 8 sites, 4 school years of 36 weeks, seeds 1 and 2. Read from its full tables where they are at hand, else
from their rows of the two schemes that matter here, in `reference_figures/`.
"""

import csv
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
FULL_TABLES = HERE.parents[2] / "shared" / "reference"
FALSE_POSITIVES, POWER = "stats-sim_false_positive.csv", "stats-sim_power.csv"
OWN_HISTORY, RECOMMENDED = "F seasonal window + floor + c(n)", "R recommended (J, else F)"
COLUMNS = {
    "impossible": "gross range",
    "scale": "gross or kit scale",
    "statistic": RECOMMENDED,
    "all": "ANY (gross, kit, R)",
}


@dataclass(frozen=True)
class Share:
    """So many of so many."""

    count: int
    of: int

    @property
    def percent(self) -> float:
        return 100 * self.count / self.of


def false_positives() -> dict[tuple[str, str, str], Share]:
    """Return the shares of good readings that were flagged, by line, period and scheme."""
    schemes = {OWN_HISTORY: "own", RECOMMENDED: "week"}
    return {
        (row["parameter"], row["period"], schemes[row["scheme"]]): Share(
            int(row["flagged"]), int(row["evaluated"])
        )
        for row in _rows(FALSE_POSITIVES)
        if row["scheme"] in schemes
    }


def power() -> dict[tuple[str, str, str], Share]:
    """Return the shares of planted slips that were caught, by line, kind of slip and column."""
    columns = {check: column for column, check in COLUMNS.items()}
    return {
        (row["field"], row["blunder"], columns[row["check"]]): Share(int(row["caught"]), int(row["trials"]))
        for row in _rows(POWER)
        if row["check"] in columns
    }


def _rows(name: str) -> list[dict[str, str]]:
    full = FULL_TABLES / name
    with (full if full.exists() else HERE / "reference_figures" / name).open(encoding="utf-8") as table:
        return list(csv.DictReader(table))
