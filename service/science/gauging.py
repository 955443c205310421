"""What a class measures the discharge by: floats on a length of the stream, or verticals across it."""

from dataclasses import dataclass
from enum import StrEnum
from statistics import fmean


class Bottom(StrEnum):
    """What the bed is made of, which decides how far the water slows towards it."""

    ROCKY = "rocky"
    MUDDY = "muddy"


@dataclass(frozen=True, slots=True)
class Transect:
    """Width of the water [m], and its depths [m] at a quarter, a half and three quarters of it."""

    width_m: float
    depths_m: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class FloatGauging:
    """Floats timed [s] over a length [m], and one transect of it or two."""

    length_m: float
    times_s: tuple[float, ...]
    bottom: Bottom
    transects: tuple[Transect, ...]


@dataclass(frozen=True, slots=True)
class Vertical:
    """One place across the stream: distance from the bank, depth [m], mean speed there [m/s]."""

    distance_m: float
    depth_m: float
    velocity_m_per_s: float


@dataclass(frozen=True, slots=True)
class VerticalGauging:
    """Verticals from bank to bank, in the order of their distance."""

    verticals: tuple[Vertical, ...]


Gauging = FloatGauging | VerticalGauging


def waded_places(gauging: Gauging) -> tuple[tuple[float, float], ...]:
    """Return depth [m] and speed [m/s] of the places where somebody stood to measure the flow."""
    if isinstance(gauging, VerticalGauging):
        return tuple((vertical.depth_m, vertical.velocity_m_per_s) for vertical in gauging.verticals)
    deepest_m = max(max(transect.depths_m) for transect in gauging.transects)
    return ((deepest_m, gauging.length_m / fmean(gauging.times_s)),)
