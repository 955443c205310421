"""Reading a file in tests: everything that is in it at once."""

from collections.abc import Collection
from pathlib import Path
from typing import Any

import pytest

from service.intake.mapping.bodies.file import FileBody
from service.intake.sheets.cell import Row, Unreadable, Value
from service.intake.sheets.read_file import read_file


def everything(path: Path, wanted: Collection[str | int] = (), **how: Any) -> tuple[list[Value], list[Row]]:
    """Return the head and the rows of a file."""
    with read_file(path, FileBody.model_validate(how), wanted) as grid:
        return [cell.value for cell in grid.head.cells], list(grid.rows)


def values(path: Path, wanted: Collection[str | int] = (), **how: Any) -> list[list[Value]]:
    """Return what stands in each row, the head row first."""
    head, rows = everything(path, wanted, **how)
    return [head, *([cell.value for cell in row.cells] for row in rows)]


def why_unreadable(path: Path, wanted: Collection[str | int] = (), **how: Any) -> str:
    """Return why a file cannot be read."""
    with pytest.raises(Unreadable) as refused:
        everything(path, wanted, **how)
    return refused.value.message


def written(path: Path, content: bytes | str) -> Path:
    """Return a file with this in it."""
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return path
