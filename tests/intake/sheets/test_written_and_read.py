"""Whatever the csv module writes is read back the same, in every dialect, encoding and line end of ours."""

import csv
from io import StringIO
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.intake.sheets.reading import values, written

LETTERS = st.sampled_from("ab7.,;\t\"'\n\r =°é-")
CELL = st.text(LETTERS, max_size=6)
ROW = st.tuples(st.sampled_from(["x", "7,5", 'say "x"', "a\nb"]), CELL, CELL)
# The writer of Python 3.11 puts no marks around a cell for a line end that is not the one it writes.
ENDINGS = [("\r\n", csv.QUOTE_MINIMAL), *((end, csv.QUOTE_ALL) for end in ("\n", "\r\n", "\r"))]


@settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture], database=None
)
@given(
    rows=st.lists(ROW, max_size=5),
    sign=st.sampled_from([("comma", ","), ("semicolon", ";"), ("tab", "\t")]),
    ending=st.sampled_from(ENDINGS),
    encoding=st.sampled_from(["utf-8", "latin-1", "windows-1252", "utf-16"]),
)
def test_read_back_the_same(
    tmp_path: Path,
    rows: list[tuple[str, str, str]],
    sign: tuple[str, str],
    ending: tuple[str, int],
    encoding: str,
) -> None:
    text = StringIO(newline="")
    csv.writer(text, delimiter=sign[1], lineterminator=ending[0], quoting=ending[1]).writerows(
        [("°", "b", "c"), *rows]
    )
    path = written(tmp_path / "a", text.getvalue().encode(encoding))
    read = values(path, encoding=encoding, separator=sign[0])
    assert read == [["°", "b", "c"], *([cell or None for cell in row] for row in rows)]
