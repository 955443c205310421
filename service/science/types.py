"""The plain values that checks and scores work on. No clock, no file, no database behind them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from service.science.flags import Flag

Evidence = Mapping[str, float | int | str | bool | None]


class Censoring(StrEnum):
    """Which side of the written limit the true value lies on."""

    BELOW = "<"
    ABOVE = ">"


@dataclass(frozen=True, slots=True)
class Parameter:
    """One thing a class measures. ``unit`` is the unit of storage; ``units`` are all that are accepted."""

    id: str
    name: str
    unit: str
    units: tuple[str, ...]
    wqx_name: str


@dataclass(frozen=True, slots=True)
class Kit:
    """One measuring method with its limits, all numbers in ``unit``.

    ``marks`` are the only values a comparator can show; ``step`` is the spacing of a scale that has even
    steps; ``accuracy`` is the half-width of the stated uncertainty. A kit has marks or a step. ``lower`` and
    ``upper`` are the smallest and largest value that can be read as a number; ``reads_zero`` tells whether a
    written 0 can be a measurement (a thermometer) or only means "nothing seen" (a colour kit).
    """

    code: str
    name: str
    kind: str
    parameter: str
    unit: str
    lower: float
    upper: float
    marks: tuple[float, ...] = ()
    step: float | None = None
    accuracy: float | None = None
    reads_zero: bool = True
    wait_minutes_min: float | None = None
    wait_minutes_max: float | None = None


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading as the checks see it, in the parameter's unit of storage.

    ``low`` and ``high`` bound the true value (infinite where a censored reading is open); ``written_value``,
    ``written_unit`` and ``written_censored`` keep what the class wrote. ``kit_value`` is the written value in
    the kit's own unit. ``position`` is its place in the submitted list.
    """

    position: int
    parameter: str
    unit: str
    value: float
    censored: Censoring | None
    low: float
    high: float
    written_value: float
    written_unit: str
    written_censored: Censoring | None
    kit: Kit | None = None
    kit_value: float | None = None
    procedure: Mapping[str, object] = field(default_factory=dict)
    replicate: int = 1


@dataclass(frozen=True, slots=True)
class PastReading:
    """An accepted earlier reading at the same site: ``value`` in the unit of storage, ``on`` the local date.

    ``kit`` is the code of the kit it was read with; ``kind`` that kit's kind of method.
    """

    on: date
    value: float
    censored: Censoring | None
    kit: str | None = None
    kind: str | None = None


@dataclass(frozen=True, slots=True)
class Site:
    """What the checks may know of a site. Unknown facts are ``None``."""

    code: str
    time_zone: str
    latitude: float | None = None
    longitude: float | None = None
    elevation_m: float | None = None
    established_on: date | None = None
    water_class: str | None = None


@dataclass(frozen=True, slots=True)
class Visit:
    """One visit as the checks see it.

    ``observed_at`` is the instant in the site's own time zone; ``received_at`` when the service got it.
    ``history`` holds the accepted readings of earlier dates by parameter. ``twins`` names the visits of the
    same team at the same site and instant that are already stored.
    """

    site: Site
    observed_at: datetime
    received_at: datetime
    readings: tuple[Reading, ...]
    conditions: Mapping[str, object] = field(default_factory=dict)
    history: Mapping[str, tuple[PastReading, ...]] = field(default_factory=dict)
    twins: tuple[str, ...] = ()

    def first(self, parameter: str) -> Reading | None:
        """Return the first reading of a parameter, or ``None``."""
        return next((reading for reading in self.readings if reading.parameter == parameter), None)


@dataclass(frozen=True, slots=True)
class LikelySlip:
    """A slip of the trade that would explain a suspect value. A suggestion: nothing is ever changed."""

    kind: str
    would_be: float


@dataclass(frozen=True, slots=True)
class Finding:
    """The answer of one check: flag, what was seen in plain words, the numbers, and what to do now."""

    flag: Flag
    message: str = ""
    evidence: Evidence = field(default_factory=dict)
    advice: str = ""
    likely_slip: LikelySlip | None = None
