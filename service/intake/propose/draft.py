"""The proposal while it is made: the mapping so far, the questions, and what is said of each column."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

from service.intake.mapping.sites import Places
from service.intake.propose.facts import Facts
from service.intake.propose.head_words import Certainty
from service.intake.propose.schemas import Choice, Question
from service.intake.sheets.cell import Row

LEAVE_OUT = Choice(value=None, text="leave this column out")


@dataclass(slots=True)
class SeenColumn:
    """One column: where it is, what stands in it, and what it seems to be.

    ``ref`` is how a mapping names it, ``label`` how a person finds it; ``more`` is what its head says beside
    what it seems to be, ``unit`` what stands below the head in a row of units.
    """

    place: int
    name: str
    ref: str | int
    label: str
    facts: Facts
    means: str = ""
    certainty: Certainty = Certainty.UNKNOWN
    why: str = ""
    used: bool = False
    more: str = ""
    unit: str = ""
    remarks: list[str] = field(default_factory=list)

    @property
    def head(self) -> str:
        """Its name, with the unit that stands below it."""
        return f"{self.name} ({self.unit})" if self.unit else self.name

    def take(self) -> str | int:
        """Return how the mapping names it, now that it does."""
        self.used = True
        return self.ref


@dataclass(slots=True)
class Draft:
    """A proposal that is being made."""

    columns: Sequence[SeenColumn]
    rows: Sequence[Row]
    places: Places
    mapping: dict[str, Any] = field(default_factory=dict)
    questions: list[Question] = field(default_factory=list)

    def that_mean(self, *means: str) -> list[SeenColumn]:
        """Return the columns that seem to mean one of these, the more certain ones first."""
        order = list(Certainty)
        found = [column for column in self.columns if column.means in means and column.facts.filled]
        return sorted(found, key=lambda column: (order.index(column.certainty), column.place))

    def ask(
        self,
        about: str,
        column: SeenColumn | None,
        question: str,
        choices: Sequence[Choice] = (),
        *,
        needed: bool = True,
        fill_in: dict[str, str | None] | None = None,
        write: str = "",
    ) -> None:
        """Put a question."""
        self.questions.append(
            Question(
                about=about,
                column=column.label if column else "",
                question=question,
                choices=list(choices),
                needed=needed,
                fill_in=fill_in,
                write=write,
            )
        )


def pointer(*parts: str | int) -> str:
    """Return a JSON pointer (RFC 6901)."""
    return "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in parts)
