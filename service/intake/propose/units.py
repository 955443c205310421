"""Units as people write them, and the ones that a parameter is handed in with."""

import csv
import unicodedata
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from service.intake.propose.head_words import in_brackets, plain_head
from service.reference.load import load_catalogue

OTHER_UNITS = frozenset({"ug/l", "meq/l", "jtu", "fnu", "hh:mm"})
NO_UNITS = frozenset({"ph", "none", "units", "in", "um"})  # words too, where they stand alone
ALSO_WRITTEN = {
    "umol/l": "in micromol per litre",
    "ug/l as n": "in µg/L as N",
    "ug/l as p": "in µg/L as P",
    "ft": "in feet",
}


@dataclass(frozen=True, slots=True)
class Unit:
    """An accepted unit, and what the written number is multiplied by to be in it; ``words`` name it."""

    unit: str
    times: float | None = None
    words: str = ""


def written_unit(parameter: str, text: str) -> Unit | None:
    """Return the accepted unit that a written one stands for, or ``None`` where that is not certain."""
    return _known().get((parameter, plain_unit(text)))


def unit_in_head(parameter: str, head: str) -> Unit | None:
    """Return the unit that a head names in its brackets, or behind its last word (``nitrate mg/L as N``)."""
    if inside := in_brackets(head):
        words = inside.split()
        tails = (" ".join(words[start:]) for start in range(len(words)))
        return next((unit for tail in tails if (unit := written_unit(parameter, tail))), None)
    words = head.replace(",", " ").replace("_", " ").split()
    tails = (" ".join(words[start:]) for start in range(1, len(words)))
    found = (
        written_unit(parameter, tail) for tail in tails if plain_unit(tail) not in {"c", "f", "m", "in", "ph"}
    )
    if unit := next((one for one in found if one is not None), None):
        return unit
    # NO3-N is nitrate given as its nitrogen; the number is in mg/L only where the head says so.
    return None


def possible_units(parameter: str) -> list[Unit]:
    """Return the units that a column of a parameter may be in, those that are accepted as they are first."""
    known = load_catalogue().parameters[parameter]
    units = [Unit(unit, None, f"in {unit}") for unit in known.units]
    for (of, written), unit in _known().items():
        if of == parameter and unit.times is not None and written in ALSO_WRITTEN:
            units.append(Unit(unit.unit, unit.times, ALSO_WRITTEN[written]))
    return units


def is_nearly(parameter: str, unit: str) -> bool:
    """Tell whether a unit only leaves open of what it counts the milligrams."""
    units = load_catalogue().parameters[parameter].units
    return unit.strip().casefold() in ("mg/l", "ppm") and any(one.startswith("mg/L as") for one in units)


def says_nitrogen(head: str) -> bool:
    """Tell whether a head says that a nutrient is given as its nitrogen or phosphorus: NO3-N, PO4_P."""
    return plain_head(head).split()[-1:] in (["n"], ["p"], ["nitrogen"])


def is_unit(text: str) -> bool:
    """Tell whether the last word of a text is a unit of anything, and no word that may be more than that."""
    plain = plain_unit("".join(text.split()[-1:]))
    known = {unit for _, unit in _known()} | OTHER_UNITS
    return (len(plain) > 1 or plain == "%") and plain in known - NO_UNITS


def plain_unit(text: str) -> str:
    """Return a unit as it is compared: small letters, one sign for micro, no blanks."""
    plain = unicodedata.normalize("NFKC", text.replace("º", "°")).casefold()
    plain = plain.replace("μ", "u").replace("µ", "u").replace("liter", "l").replace("litre", "l")
    return "".join(plain.split())


@cache
def _known() -> dict[tuple[str, str], Unit]:
    text = (files("service.intake.propose") / "unit_words.csv").read_text("utf-8")
    return {
        (row["parameter"], plain_unit(written)): Unit(
            row["unit"], float(row["times"]) if row["times"] else None, f"in {row['unit']}"
        )
        for row in csv.DictReader(text.splitlines())
        for written in row["written"].split(";")
    }
