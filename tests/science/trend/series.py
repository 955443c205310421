"""Series of the trend tests as tables: a row a year, a column a month, NaN where nothing was measured."""

import numpy as np
from numpy.typing import NDArray

from tests.science.check_table import rows

Numbers = NDArray[np.float64]


def table(name: str) -> Numbers:
    """Return a file of check values without its first column, the year."""
    cells = [list(row.values())[1:] for row in rows(name)]
    return np.array([[float(cell) if cell else np.nan for cell in line] for line in cells])


SERIES: dict[str, Numbers] = {
    "annual": table("trend_annual"),
    "seasonal": table("trend_seasonal"),
    "one jump": np.array([[7.5]] * 6 + [[8.0]] * 4),
    "monthly": table("trend_monthly_1983_1985").T,  # its rows are months
}
SERIES["seasonal complete years"] = SERIES["seasonal"][~np.isnan(SERIES["seasonal"]).any(axis=1)]


def random_table(
    seed: int, years: int = 8, months: int = 5, *, missing: float = 0.0, values: int = 6
) -> Numbers:
    """Return a table with many ties, of which a share is missing; every month keeps two values or more."""
    draws = np.random.default_rng(seed)
    found = draws.integers(0, values, (years, months)).astype(float)
    found[2:][draws.random((years - 2, months)) < missing] = np.nan
    return found
