"""Numbers and names as a class reads them: plain decimals, the sign of a unit, the name of a parameter."""

from decimal import Decimal

from service.science.types import Reading

UNIT_SIGNS = {"degC": "°C", "degF": "°F", "std units": "", "uS/cm": "µS/cm", "m3/s": "m³/s", "ft3/s": "ft³/s"}
PARAMETER_NAMES = {"ph": "pH", "e_coli": "E. coli"}


def number_words(value: float) -> str:
    """Return a number with all its digits and no exponent: ``100000``, ``0.25``, ``7``."""
    text = format(Decimal(repr(float(value))), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text


def rounded_words(value: float, digits: int = 3) -> str:
    """Return a computed number cut to the digits that mean something."""
    return number_words(float(f"{value:.{digits}g}"))


def unit_words(unit: str) -> str:
    """Return a unit as it is printed behind a number, with its leading space; pH has none."""
    sign = UNIT_SIGNS.get(unit, unit)
    return f" {sign}" if sign else ""


def written_words(reading: Reading) -> str:
    """Return a reading the way the class wrote it: ``< 4 mg/L``, ``11.5 °C``, ``7``."""
    mark = f"{reading.written_censored} " if reading.written_censored else ""
    return f"{mark}{number_words(reading.written_value)}{unit_words(reading.written_unit)}"


def parameter_words(parameter: str) -> str:
    """Return the name of a parameter inside a sentence: ``dissolved oxygen``, ``pH``."""
    return PARAMETER_NAMES.get(parameter, parameter.replace("_", " "))


def sentence(text: str) -> str:
    """Return a text that begins with a capital letter, unless it begins with pH."""
    return text if text.startswith("pH") else text[:1].upper() + text[1:]
