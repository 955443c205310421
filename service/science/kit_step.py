"""One step of a kit at a reading: the smallest difference that its scale can show there."""

from collections.abc import Iterable

from service.science.kit_reading import is_same
from service.science.types import Kit
from service.science.units import convert, convert_difference


def step_at(kit: Kit, value: float, unit: str) -> float | None:
    """Return the step of a kit's scale at a value.

    Parameters
    ----------
    kit : Kit
        A kit with even steps or with marks.
    value : float
        The reading [``unit``]; of a censored one the limit.
    unit : str
        Unit of storage, one that the kit's unit converts to.

    Returns
    -------
    float or None
        The even step, or the smaller gap to a neighbouring mark [``unit``]: two neighbouring marks are then
        always one step of the coarser reading apart. ``None`` for a card of a single mark.
    """
    if kit.step is not None:
        return _in_storage(kit, kit.step, unit)
    kit_value = convert(value, unit, kit.unit)
    below = [mark for mark in kit.marks if mark < kit_value and not is_same(mark, kit_value)]
    above = [mark for mark in kit.marks if mark > kit_value and not is_same(mark, kit_value)]
    if below and above and len(below) + len(above) == len(kit.marks):  # between two marks
        return _in_storage(kit, above[0] - below[-1], unit)
    ends = ([kit_value - below[-1]] if below else []) + ([above[0] - kit_value] if above else [])
    return _in_storage(kit, min(ends), unit) if ends else None


def finest_difference(kits: Iterable[Kit], value: float, unit: str) -> float | None:
    """Return the smallest difference between two of its boxes that any of some kits can vouch for.

    Parameters
    ----------
    kits : iterable of Kit
        Kits of the parameter.
    value : float
        The reading [``unit``].
    unit : str
        Unit of storage.

    Returns
    -------
    float or None
        Of each kit the larger of step and accuracy, of these the smallest [``unit``]; ``None`` without a kit.
    """
    vouched = [
        max(step, _in_storage(kit, kit.accuracy or 0.0, unit))
        for kit in kits
        if (step := step_at(kit, value, unit)) is not None
    ]
    return min(vouched, default=None)


def _in_storage(kit: Kit, difference: float, unit: str) -> float:
    # 6.4 - 6.2 is 0.2 on the card and 0.20000000000000018 in binary fractions.
    return float(f"{convert_difference(difference, kit.unit, unit):.12g}")
