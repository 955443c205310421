"""What a file is read as: rows for the shelf, and the body of each visit that they make."""

from collections.abc import Iterator, Sequence
from typing import Protocol

from service.intake.imports.shelf.queries import ShelvedRow, WaitingVisit
from service.intake.mapping.assembled import Assembled
from service.intake.sheets.cell import Grid


class Source(Protocol):
    """A file with what is needed to read it."""

    @property
    def sheets(self) -> Sequence[str]:
        """Names of the sheets that were read, once they are; of a file that is one sheet an empty name."""

    @property
    def separator(self) -> str:
        """What parts the columns of the file where it is text."""

    def rows(self) -> Iterator[ShelvedRow]:
        """Give the rows of the file as the shelf takes them.

        Raises
        ------
        Unreadable
            Nothing of the file can be read.
        """

    def assemble(self, visit: WaitingVisit) -> Assembled:
        """Return the body that the rows of a visit make; without a `visit_id` it is given one."""

    def apart(self, visit: WaitingVisit) -> str:
        """Return what else tells this visit from others of its site, moment, team and kind."""

    def grids(self) -> Iterator[Grid]:
        """Give each sheet as it was sent, to be shown again; rows are numbered as those of the shelf."""
