"""A list of the network: where its rows come from, what orders them, and how they look flat."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any, Generic, TypeVar
from uuid import UUID

from sqlmodel import Session

from service.core.errors import BadQuery
from service.core.formats.table import FlatRow, Table
from service.core.paging import read_cursor
from service.visits.question import Question

Fields = dict[str, Any]
Key = tuple[Any, ...]
Choice_contra = TypeVar("Choice_contra", contravariant=True)


@dataclass(frozen=True, slots=True)
class Listing(Generic[Choice_contra]):
    """One list. Its rows come by local date and visit, then by ``then`` within a visit.

    ``rows`` are those after a key, at most so many; ``number`` is how many there are in all, counted up to a
    number where one is given.
    """

    table: Table
    then: tuple[tuple[str, type], ...]
    rows: Callable[[Session, Question, Choice_contra, int, Key | None], list[Fields]]
    number: Callable[[Session, Question, Choice_contra, int | None], int]
    flat: Callable[[Fields], FlatRow]

    def key(self, row: Fields) -> Key:
        """Return what tells where a row stands in the order of the list."""
        return (row["observed_on"], UUID(row["visit_id"]), *(row[name] for name, _ in self.then))

    def written_key(self, row: Fields) -> Sequence[str | int]:
        """Return the key of a row as its cursor holds it."""
        on, visit_id, *rest = self.key(row)
        return [on.isoformat(), str(visit_id), *rest]

    def read_key(self, cursor: str | None) -> Key | None:
        """Return the key in a cursor.

        Raises
        ------
        BadQuery
            The cursor was not made by this list.
        """
        if cursor is None:
            return None
        on, visit_id, *rest = read_cursor(cursor, [str, str, *(kind for _, kind in self.then)])
        try:
            return (date.fromisoformat(str(on)), UUID(str(visit_id)), *rest)
        except ValueError:
            raise BadQuery("cursor: not one that this list gave; start again without it") from None
