"""What the service must say of the planted visits: rows of expected_flags.csv and expected_alerts.csv."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import Self

from records import Visit

ExpectedFlag = tuple[str, str, int]  # parameter of the reading (empty: the whole visit), check, flag
FlagRow = tuple[str, int | None, str, int, str, str]
NO_SLIPS: Mapping[str, str] = {}


@dataclass
class Promises:
    """The rows of both files, in the order in which they were promised."""

    flags: list[FlagRow] = field(default_factory=list)
    alerts: list[tuple[str, str]] = field(default_factory=list)

    def __iadd__(self, other: "Promises") -> Self:
        """Take in the rows of another."""
        self.flags += other.flags
        self.alerts += other.alerts
        return self

    def expect(
        self, visit: Visit, expected: Sequence[ExpectedFlag], why: str, slip: Mapping[str, str] = NO_SLIPS
    ) -> None:
        """Promise flags of a visit, and for some parameters the slip that is named with them."""
        for parameter, check, flag in expected:
            position = _position(visit, parameter) if parameter else None
            self.flags.append((visit.visit_id, position, check, flag, slip.get(parameter, ""), why))

    def raise_alerts(self, visit: Visit, *alerts: str) -> None:
        """Promise alerts of a visit; an empty one promises nothing."""
        self.alerts += [(visit.visit_id, alert) for alert in alerts if alert]


def _position(visit: Visit, parameter: str) -> int:
    return next(place for place, reading in enumerate(visit.readings) if reading.parameter == parameter)
