"""What a slip of the trade is: a mistake in writing down, undone on paper to see whether that fits."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from service.science.kit_reading import interpret
from service.science.qa.checks.kit_scale import READ_BETWEEN_LINES
from service.science.types import Parameter, Reading, Visit


@dataclass(frozen=True, slots=True)
class Proposal:
    """What would have been handed in without the slip; nothing is changed by it.

    ``meant`` stands for the suspect reading, ``partner`` for the one it changed places with, ``conditions``
    for those that change. With ``needs_season`` the slip is only named where the past of the site, or its
    latitude at least, says that the number fits: one visit alone could be true as it stands.
    """

    meant: Reading
    partner: Reading | None = None
    conditions: Mapping[str, object] = field(default_factory=dict)
    needs_season: bool = False


@dataclass(frozen=True, slots=True)
class Slip:
    """One slip: the readings it happens to, the number it leads to, and how to ask the class about it.

    ``parameters`` empty means every parameter. ``propose`` answers ``None`` where the number does not bear
    the marks of the slip. ``{would_be}`` in the question stands for the number with its unit.
    """

    kind: str
    parameters: frozenset[str]
    propose: Callable[[Reading, Visit], Proposal | None]
    question: str


@dataclass(frozen=True, slots=True)
class NumberlessSlip:
    """A slip that left no number behind which could be told: it can only be asked about."""

    kind: str
    parameters: frozenset[str]
    happened: Callable[[Reading, Visit], bool]
    question: str


def rewritten(reading: Reading, value: float, unit: str | None = None) -> Reading:
    """Return the reading as it would be had this number been written.

    Parameters
    ----------
    reading : the reading as it was handed in
    value : the other number [``unit``]
    unit : an accepted unit of the parameter; ``None`` keeps the written one. A number of another unit does
        not fall on the lines of a thermometer, meter, titrator or tube, so there only the ends count
    """
    unit = unit or reading.written_unit
    kit = reading.kit
    if kit is not None and kit.step and kit.kind in READ_BETWEEN_LINES and unit != reading.written_unit:
        kit = replace(kit, step=None, accuracy=max(kit.accuracy or 0.0, kit.step / 2))
    parameter = Parameter(reading.parameter, "", reading.unit, (reading.unit, unit), "")
    return interpret(
        reading.position,
        parameter,
        kit,
        value,
        unit,
        censored=None,
        procedure=reading.procedure,
        replicate=reading.replicate,
        lot=reading.lot,
    )


def nearest_line(reading: Reading, value: float, without_kit: float) -> float:
    """Return a number on the nearest line of the reading's kit, or of steps ``without_kit`` without one."""
    kit = reading.kit
    step = kit.step if kit is not None and kit.step is not None else without_kit
    return float(f"{round(value / step) * step:.12g}")
