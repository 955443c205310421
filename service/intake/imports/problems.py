"""What the rules of a visit say against its body, said of the rows and columns that it was made of."""

from collections.abc import Iterable
from typing import Any

from pydantic import ValidationError

from service.core.errors import FieldError
from service.core.http_errors import in_plain_words, pointer_to
from service.intake.mapping.assembled import Assembled, RowProblem
from service.intake.mapping.cell_problem import CellProblem, quoted


def problems_of(error: ValidationError, made: Assembled) -> list[RowProblem]:
    """Return what is wrong with a body that breaks the rules of its form."""
    return [
        _said(made, pointer_to(one["loc"]), one["input"], in_plain_words(one))
        for one in error.errors(include_url=False)
    ]


def problems_with(errors: Iterable[FieldError], made: Assembled) -> list[RowProblem]:
    """Return what is wrong with a body whose form is right, but not what it names."""
    return [_said(made, one.pointer, _value_at(made.body, one.pointer), one.message) for one in errors]


def remark(made: Assembled, pointer: str, reason: str) -> RowProblem:
    """Return what is to be said of a piece of a body that is taken all the same."""
    return _said(made, pointer, _value_at(made.body, pointer), reason)


def _said(made: Assembled, pointer: str, value: Any, reason: str) -> RowProblem:
    origin = made.origin(pointer)
    written = "" if isinstance(value, dict | list | None) else quoted(str(value))
    return RowProblem(origin.row, CellProblem(origin.column or pointer, written, reason))


def _value_at(body: Any, pointer: str) -> Any:
    for part in pointer.split("/")[1:]:
        try:
            body = body[int(part)] if isinstance(body, list) else body[part]
        except (KeyError, IndexError, ValueError, TypeError):
            return None
    return body.get("value") if isinstance(body, dict) else body
