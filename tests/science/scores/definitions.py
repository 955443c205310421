"""The shipped definitions of the indices, read straight from the reference data."""

import csv
from decimal import Decimal
from pathlib import Path

from service.science.scores.index import Band, Definition

FOLDER = Path(__file__).parents[3] / "service" / "reference" / "data"


def _rows(name: str) -> list[dict[str, str]]:
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _bound(cell: str) -> Decimal | None:
    return Decimal(cell) if cell else None


def _definition(row: dict[str, str]) -> Definition:
    key = (row["index"], row["definition"])
    bands = [band for band in _rows("index_bands.csv") if (band["index"], band["definition"]) == key]
    return Definition(
        index=row["index"],
        number=int(row["definition"]),
        decimals=int(row["decimals"]),
        bands=tuple(Band(band["band"], _bound(band["lower"]), _bound(band["upper"])) for band in bands),
        constants={
            constant["constant"]: Decimal(constant["value"])
            for constant in _rows("index_constants.csv")
            if (constant["index"], constant["definition"]) == key
        },
    )


DEFINITIONS = {row["index"]: _definition(row) for row in _rows("index_definitions.csv")}
