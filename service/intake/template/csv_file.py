"""Our template as CSV: one list for visits and animals, for programs that have no workbooks.

A visit's readings stand in its first row; each further animal has a row of its own below, with only site,
date, time and team again. Rows of the same site, date, time and team are one visit.
"""

import csv
import io
from datetime import time

from service.intake.template.columns import Choice, Value, columns_in_one
from service.reference.catalogue import Catalogue
from service.science.qa.wording import number_words


def template_csv(choice: Choice, catalogue: Catalogue) -> bytes:
    """Return the head and the example row, in UTF-8, parted by commas."""
    text = io.StringIO(newline="")
    columns = columns_in_one(choice, catalogue)
    lines = csv.writer(text, lineterminator="\r\n")
    lines.writerow(column.head for column in columns)
    lines.writerow(_written(column.example) for column in columns)
    return text.getvalue().encode()


def _written(value: Value) -> str:
    if isinstance(value, float):
        return number_words(value)
    return value.isoformat("minutes") if isinstance(value, time) else str(value or "")
