"""Whatever stands in a sheet: each row has one fate, and no cell breaks the reader."""

from datetime import date, datetime, time
from typing import Any

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from service.intake.mapping.assemble import assemble
from service.intake.mapping.part import Part, VisitKey
from service.intake.mapping.read_rows import named_columns
from service.intake.mapping.schemas import Mapping
from service.intake.sheets.cell import Cell
from tests.intake.mapping.sheets import mapping_of, read_one

MEASURED = {
    "column": "Result",
    "parameter": "dissolved_oxygen_saturation",
    "unit": "%",
    "limit": {"column": "Limit"},
}
WIDE: dict[str, Any] = {
    "file": {"missing": ["NA"], "not_detected": ["nd"]},
    "team": {"column": "Team"},
    "kind": {"column": "Kind", "values": {"D": "field-replicate"}, "refuse_others": False},
    "apart": ["Spot"],
    "carried_down": ["Site"],
    "only": [{"column": "Spot", "but_not": ["deep"], "at_most": 1e6, "why": "too deep"}],
    "readings": [
        {
            **MEASURED,
            "censored": {"column": "Flag", "values": {"x": "<"}},
            "procedure": {"tablets": "Tablets"},
        }
    ],
    "catch": {"taxon": "Animal", "count": "Count", "sorted_share": {"column": "Sorted"}},
    "conditions": {"air_temperature": {"column": "Air"}, "weather": {"column": "Sky"}},
    "notes": [{"column": "Remarks", "word": "Remarks"}],
}
LONG: dict[str, Any] = {
    "when": {"date": {"year": "Y", "month": "M", "day": "D"}, "time": "Clock", "zone": {"column": "Zone"}},
    "long": {"parameter": "What", "value": "Result", "unit": "Unit", "kinds": {"pH|": {"parameter": "ph"}}},
}
ONE_CELL: dict[str, Any] = {
    "when": {"date": "Day", "zone": "written", "bare_date": "serial-1900", "order": "dmy", "century": 2000},
    "catch": {"columns": [{"column": "Mayflies", "taxon": "mayfly"}], "letters": True},
}
LIKELY: dict[str, list[Any]] = {
    "Site": ["elm-run", "OAK-RUN"],
    "Day": [
        "2026-05-14",
        "14.5.26 9:40Z",
        "14.5.26",
        45000.5,
        date(2026, 5, 14),
        datetime(2026, 5, 14, 9, 40),
    ],
    "Clock": ["9:40", "24:00", "9:40 EDT", time(9, 40), 0.4, 752],
    "Zone": ["UTC-05:00", "America/Chicago"],
    "Y": ["2026", 2026.0],
    "M": ["5", "May"],
    "D": ["14", 14.0],
    "Result": ["7.1", "<5", "60+", "nd", "95%", 7.1],
    "What": ["pH"],
    "Unit": ["", "NA"],
    "Flag": ["x", ""],
    "Limit": ["0.5"],
    "Count": ["3", 0, "R"],
    "Mayflies": ["R", "d"],
    "Animal": ["mayfly", "Planarian worn"],
    "Sorted": ["1/4", "25%"],
    "Spot": ["1", "2.5"],
    "Sky": ["clear"],
    "Air": ["21", "NA"],
}
VALUES = st.one_of(
    st.none(),
    st.text(max_size=12),
    st.integers(-(10**400), 10**400),
    st.floats(),
    st.booleans(),
    st.dates(),
    st.datetimes(),
    st.times(),
)
CELLS = st.builds(Cell, VALUES, st.sampled_from(["", "", "holds a formula"]))


def cells_of(column: str) -> st.SearchStrategy[Cell]:
    likely = st.builds(Cell, st.sampled_from(LIKELY.get(column, [None])))
    return st.integers(0, 9).flatmap(lambda chance: likely if chance else CELLS)


@pytest.mark.parametrize(
    "mapping",
    [mapping_of(**parts) for parts in (WIDE, LONG, ONE_CELL)],
    ids=["wide", "long", "one cell"],
)
@settings(max_examples=20, deadline=None)
@given(data=st.data())
def test_each_row_has_one_fate(mapping: Mapping, data: st.DataObject) -> None:
    columns = [str(column) for column in named_columns(mapping)]
    cells = data.draw(st.tuples(*map(cells_of, columns)))
    row = read_one(mapping, "|".join(columns), *cells)
    assert bool(row.part) + bool(row.problems) + bool(row.left_out) == 1
    event("taken" if row.part else "refused" if row.problems else "left out")
    if row.part is not None and row.key is not None:
        part, key = Part.from_json(row.part.as_json()), VisitKey.from_json(row.key.as_json())
        assert (part, key) == (row.part, row.key)
        assert assemble(key, [part]).body["site"] == key.site
