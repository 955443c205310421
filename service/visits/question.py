"""Which visits are asked for, and what the one who asks may see."""

from dataclasses import dataclass
from datetime import date

from service.science.types import VisitKind
from service.science.watershed_code import WatershedCode
from service.sites.box import Box
from service.visits.tables import State

IN_THE_RECORD = (State.HELD, State.RELEASED)


@dataclass(frozen=True, slots=True)
class Question:
    """What every list of visits is asked by; a filter that is ``None`` keeps all.

    ``sees_everything`` is the coordinator's; ``own_school`` sees its own beside what is released.
    """

    watershed: WatershedCode | None = None
    box: Box | None = None
    since: date | None = None
    until: date | None = None
    site: str | None = None
    stream: str | None = None
    school: str | None = None
    states: tuple[State, ...] = IN_THE_RECORD
    kind: VisitKind | None = VisitKind.ROUTINE
    sees_everything: bool = False
    own_school: str | None = None

    def sees_school(self, school: str) -> bool:
        """Tell whether the one who asks may see what is private to a school."""
        return self.sees_everything or (self.own_school is not None and self.own_school == school)
