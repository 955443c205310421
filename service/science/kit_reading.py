"""Kit first: what a written number means, once we know what the kit can and cannot show.

A colour card that starts at 4 mg/L cannot say 0, and a tube filled to the rim cannot say "exactly 60 cm".
Such numbers become "less than" or "more than", the written number is kept beside them, and nothing is ever
replaced by half the limit (Helsel 2006, Chemosphere 65:2434-2439: substitution makes up data).
"""

import math
from collections.abc import Mapping

from service.science.types import Censoring, Kit, KitLot, Parameter, Reading
from service.science.units import convert

FULL_TUBE_PARAMETER = "transparency"
MAY_BE_NEGATIVE = frozenset({"water_temperature"})
OPEN_AT_THE_TOP = frozenset({"tray", "plate"})  # all wells positive, or colonies past counting
SAME_NUMBER = 1e-6  # relative; absorbs decimal fractions and unit conversions, not a misread scale


def lowest_readable(kit: Kit) -> float:
    """Return the smallest value the kit can state as a number [kit unit].

    A card whose first colour stands at 0 but that cannot tell 0 from "a little" starts at its second colour.
    """
    if not kit.marks:
        return kit.lower
    return kit.marks[0] if kit.reads_zero else next(mark for mark in kit.marks if mark > 0)


def highest_readable(kit: Kit) -> float:
    """Return the largest value the kit can state as a number [kit unit]."""
    return kit.marks[-1] if kit.marks else kit.upper


def is_same(first: float, second: float) -> bool:
    """Return whether two numbers on a kit's scale are the same mark, but for the noise of floating point."""
    return math.isclose(first, second, rel_tol=SAME_NUMBER, abs_tol=1e-9)


def interpret(
    position: int,
    parameter: Parameter,
    kit: Kit | None,
    value: float,
    unit: str | None,
    *,
    censored: Censoring | None,
    procedure: Mapping[str, object],
    replicate: int = 1,
    lot: KitLot | None = None,
) -> Reading:
    """Turn a written number into a reading in the unit of storage, with bounds on the true value.

    Parameters
    ----------
    position : place in the submitted list, from 0
    parameter : what was measured
    kit : what it was measured with; ``None`` when the class did not say
    value : the number as written [``unit``], finite
    unit : one of ``parameter.units``; ``None`` means the unit of storage
    censored : the written "<" or ">", else ``None``
    procedure : what the class said of how it measured, kept as it is
    replicate : number of the repeat, from 1
    lot : the school's own box of the kit, if it named one

    Returns
    -------
    Reading
        ``value``, ``low`` and ``high`` [unit of storage]. A 0, or any number from 0 up to the lowest mark,
        from a kit that cannot read 0 is "less than the lowest mark". A tube reading equal to the length of
        the tube is "more than the length", and the highest number of a tray or a plate "more than" it. A
        number off the scale otherwise stays as written, for the kit-scale check to judge. Without a kit
        nothing is known of the doubt, so ``low`` and ``high`` equal the value; the same holds for a kit made
        for something else, which the kit-scale check refuses.

    Raises
    ------
    ValueError
        The unit is not accepted for this parameter.
    """
    unit = parameter.unit if unit is None else unit
    if unit not in parameter.units:
        raise ValueError(f"{unit} is not a unit of {parameter.id}; accepted: {', '.join(parameter.units)}")
    fitting_kit = kit if kit is not None and kit.parameter == parameter.id else None
    kit_value = None if fitting_kit is None else convert(value, unit, fitting_kit.unit)
    stored_value, side = convert(value, unit, parameter.unit), censored
    if fitting_kit is not None and kit_value is not None and censored is None:
        meant = _limit_meant(fitting_kit, kit_value)
        if meant is not None:
            side, stored_value = meant[0], convert(meant[1], fitting_kit.unit, parameter.unit)
    low, high = _bounds(parameter, fitting_kit, kit_value, stored_value, side)
    return Reading(
        position=position,
        parameter=parameter.id,
        unit=parameter.unit,
        value=stored_value,
        censored=side,
        low=low,
        high=high,
        written_value=value,
        written_unit=unit,
        written_censored=censored,
        kit=kit,
        kit_value=kit_value,
        procedure=procedure,
        replicate=replicate,
        lot=lot,
    )


def _limit_meant(kit: Kit, kit_value: float) -> tuple[Censoring, float] | None:
    """Return the side and the limit [kit unit] that an unmarked number really states, if it states one."""
    lowest = lowest_readable(kit)
    if not kit.reads_zero and 0 <= kit_value < lowest and not is_same(kit_value, lowest):
        return Censoring.BELOW, lowest
    open_above = kit.parameter == FULL_TUBE_PARAMETER or kit.kind in OPEN_AT_THE_TOP
    if open_above and is_same(kit_value, highest_readable(kit)):
        return Censoring.ABOVE, highest_readable(kit)
    return None


def _bounds(
    parameter: Parameter,
    kit: Kit | None,
    kit_value: float | None,
    stored_value: float,
    censored: Censoring | None,
) -> tuple[float, float]:
    """Return the bounds of the true value [unit of storage]."""
    floor = -math.inf if parameter.id in MAY_BE_NEGATIVE else 0.0
    if censored is Censoring.BELOW:
        return min(floor, stored_value), stored_value
    if censored is Censoring.ABOVE:
        return stored_value, math.inf
    if kit is None or kit_value is None:
        return stored_value, stored_value
    below, above = _half_widths(kit, kit_value)
    low = _tidy(convert(kit_value - below, kit.unit, parameter.unit))
    high = _tidy(convert(kit_value + above, kit.unit, parameter.unit))
    return (low if stored_value < 0 else max(low, floor)), high


def _tidy(value: float) -> float:
    # 17.2 + 0.4 is 17.6 on paper and 17.599999999999998 in binary fractions.
    return float(f"{value:.12g}")


def _half_widths(kit: Kit, kit_value: float) -> tuple[float, float]:
    """Return how far the true value may lie below and above a number on the scale [kit unit]."""
    half_step = (kit.step or 0.0) / 2
    below, above = _mark_half_widths(kit.marks, kit_value) if kit.marks else (half_step, half_step)
    accuracy = kit.accuracy or 0.0
    return max(below, accuracy), max(above, accuracy)


def _mark_half_widths(marks: tuple[float, ...], value: float) -> tuple[float, float]:
    """Return half the gaps to the neighbouring marks; an end mark mirrors its only gap.

    A number between two marks is bounded by both; one outside the card has the doubt of the end mark.
    """
    below = [mark for mark in marks if mark < value and not is_same(mark, value)]
    above = [mark for mark in marks if mark > value and not is_same(mark, value)]
    on_a_mark = len(below) + len(above) < len(marks)
    if below and above:
        share = 0.5 if on_a_mark else 1.0
        return share * (value - below[-1]), share * (above[0] - value)
    inner = marks[:2] if above else marks[-2:]
    end_half_width = (inner[-1] - inner[0]) / 2
    return end_half_width, end_half_width
