"""The slips of the pen that are planted, and which of the checks sees each."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from service.science.flags import Flag
from service.science.qa.check import ReadingCheck
from service.science.qa.checks import gross_range, kit_scale, site_outlier
from service.science.types import Reading, Visit
from tests.benchmarks.stream_model import CATALOGUE, FIELDS

Sheet = Mapping[str, float]  # the number written on each line of one visit
CENTIMETRES_IN_INCH = 2.54


@dataclass(frozen=True)
class Blunder:
    """A slip: from a sheet to the lines that it spoils, with what then stands there."""

    field: str
    kind: str
    spoil: Callable[[Sheet], Sheet]


def _scaled(field: str, kind: str, slip: Callable[[float], float]) -> Blunder:
    return Blunder(field, kind, lambda sheet: {field: round(slip(sheet[field]), 6)})


def _swapped(first: str, second: str) -> Blunder:
    return Blunder(f"{first}<->{second}", "swap", lambda sheet: {first: sheet[second], second: sheet[first]})


BLUNDERS = (
    _scaled("temp", "F_for_C", lambda celsius: round(celsius * 1.8 + 32)),
    *(_scaled(field, "x10", lambda value: value * 10) for field in FIELDS),
    *(_scaled(field, "div10", lambda value: value / 10) for field in FIELDS),
    _scaled("tube", "inch_for_cm", lambda depth: round(depth / CENTIMETRES_IN_INCH)),
    _swapped("temp", "ph"),
    _swapped("temp", "do_titr"),
    _swapped("ph", "do_titr"),
)


@dataclass(frozen=True)
class Caught:
    """Which checks object to a spoiled sheet.

    ``impossible`` and ``unusual`` are the two spans of the gross range; ``answered`` and ``week`` the outlier
    check with the neighbours known at once and with those of the whole week.
    """

    impossible: bool
    unusual: bool
    scale: bool
    answered: bool
    week: bool


def flag_of(check: ReadingCheck, reading: Reading, visit: Visit) -> Flag:
    """Return the flag that a check gives with the limits of the catalogue."""
    found = check.run(reading, visit, CATALOGUE.limits_for(check.id, reading.parameter))
    return found.flag if found else Flag.NOT_EVALUATED


def catch(spoiled: Sheet, answered: Mapping[str, Visit], week: Mapping[str, Visit]) -> Caught:
    """Run the checks over the spoiled lines; an objection to one of them is enough."""
    readings = {field: FIELDS[field].read(written) for field, written in spoiled.items()}

    def objects(check: ReadingCheck, visits: Mapping[str, Visit], mildest: Flag = Flag.SUSPECT) -> bool:
        flags = [flag_of(check, reading, visits[field]) for field, reading in readings.items()]
        return any(mildest <= flag <= Flag.FAIL for flag in flags)

    return Caught(
        impossible=objects(gross_range.CHECK, answered, Flag.FAIL),
        unusual=objects(gross_range.CHECK, answered),
        scale=objects(kit_scale.CHECK, answered),
        answered=objects(site_outlier.CHECK, answered),
        week=objects(site_outlier.CHECK, week),
    )
