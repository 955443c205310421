"""The plain values that checks and scores work on. No clock, no file, no database behind them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from enum import StrEnum

from service.science.bottles import Bottles
from service.science.catch import Catch
from service.science.flags import Flag
from service.science.gauging import Gauging

Evidence = Mapping[str, float | int | str | bool | None]


class Censoring(StrEnum):
    """Which side of the written limit the true value lies on."""

    BELOW = "<"
    ABOVE = ">"

    @property
    def opposite(self) -> "Censoring":
        """The side of whatever falls when this rises."""
        return Censoring.ABOVE if self is Censoring.BELOW else Censoring.BELOW


class VisitKind(StrEnum):
    """Why a visit was made: for the stream, or to find out how good the readings are."""

    ROUTINE = "routine"
    FIELD_REPLICATE = "field-replicate"
    FIELD_BLANK = "field-blank"


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
    written 0 can be a measurement (a thermometer) or only means "nothing seen" (a colour kit). ``tablets`` go
    into ``sample_ml`` of water; ``None`` where the kit has no tablets or only a line to fill to.
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
    tablets: int | None = None
    sample_ml: float | None = None


@dataclass(frozen=True, slots=True)
class KitLot:
    """A school's own box of a kit: the day its reagents expire, and the day its blank last showed colour."""

    code: str
    expires_on: date | None = None
    blank_failed_on: date | None = None


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
    lot: KitLot | None = None


@dataclass(frozen=True, slots=True)
class PastReading:
    """An accepted earlier reading at the same site: ``value`` in the unit of storage, ``on`` the local date.

    ``kit`` is the code of the kit it was read with; ``kind`` that kit's kind of method. ``residual`` is what
    was left of its distance from the site's median after the common shift of its neighbours was taken off,
    on the scale of the comparison; ``None`` where too few neighbours had been read that week.
    """

    on: date
    value: float
    censored: Censoring | None
    kit: str | None = None
    kind: str | None = None
    residual: float | None = None


@dataclass(frozen=True, slots=True)
class NeighbourAnomaly:
    """How far a reading of another site of the watershed, in the same week, was from its own median.

    ``anomaly`` is on the scale of the comparison; only readings of the same ``kind`` of method, and on marks
    of the same ``kit``, share a scale.
    """

    site: str
    anomaly: float
    kit: str | None
    kind: str | None


@dataclass(frozen=True, slots=True)
class Place:
    """A place on the ground, in degrees of WGS 84."""

    latitude: float
    longitude: float


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
    ``history`` holds the accepted readings of earlier dates by parameter; ``neighbours`` those of other sites
    of the watershed in the same week. ``twins`` names the visits of the same team at the same site and
    instant that are already stored; ``same_catch_on`` the earlier dates with exactly this catch; ``same_day``
    what a duplicate of this visit read by parameter, or for a duplicate the visit that it repeats. ``place``
    is where the class's device says it stood; ``gauging`` what the discharge was measured by; ``bottles`` a
    test of oxygen demand.
    """

    site: Site
    observed_at: datetime
    received_at: datetime
    readings: tuple[Reading, ...]
    conditions: Mapping[str, object] = field(default_factory=dict)
    history: Mapping[str, tuple[PastReading, ...]] = field(default_factory=dict)
    twins: tuple[str, ...] = ()
    kind: VisitKind = VisitKind.ROUTINE
    catch: Catch | None = None
    neighbours: Mapping[str, tuple[NeighbourAnomaly, ...]] = field(default_factory=dict)
    same_catch_on: tuple[date, ...] = ()
    same_day: Mapping[str, tuple[PastReading, ...]] = field(default_factory=dict)
    place: Place | None = None
    gauging: Gauging | None = None
    bottles: Bottles | None = None

    def first(self, parameter: str) -> Reading | None:
        """Return the first reading of a parameter, or ``None``."""
        return next((reading for reading in self.readings if reading.parameter == parameter), None)

    def beside(self, reading: Reading, parameter: str) -> Reading | None:
        """Return what was read of a parameter beside a reading: of the same replicate, else the first."""
        found = [other for other in self.readings if other.parameter == parameter]
        together = (other for other in found if other.replicate == reading.replicate)
        return next(together, found[0] if found else None)


@dataclass(frozen=True, slots=True)
class LikelySlip:
    """A slip of the trade that would explain what is suspect. A suggestion: nothing is ever changed.

    ``would_be`` is the value without the slip [unit of storage]; ``None`` where no number can be told.
    """

    kind: str
    would_be: float | None


@dataclass(frozen=True, slots=True)
class Finding:
    """The answer of one check: flag, what was seen in plain words, the numbers, and what to do now."""

    flag: Flag
    message: str = ""
    evidence: Evidence = field(default_factory=dict)
    advice: str = ""
    likely_slip: LikelySlip | None = None
