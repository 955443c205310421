"""Does free text hold what leads to a person: an e-mail address or a telephone number?

A caution, not a lock: it looks at shapes only, and a name has no shape. Dates, times, coordinates, readings
and watershed codes are not taken for telephone numbers.
"""

import re
import unicodedata

EMAIL = re.compile(r"[^\s@<>()\[\],;:\"]{1,64}@[^\s@<>()\[\],;:\"]{1,255}\.[^\W\d_]{2,}")

# What a class writes down anyway, and what has as many digits as a telephone number.
DATE_OR_TIME = re.compile(
    r"(?<![\d./-])(?:\d{4}-\d{1,2}-\d{1,2}|\d{1,2}([./-])\d{1,2}\1\d{2,4})(?![./-]?\d)"
    r"|(?<!\d)\d{1,2}:\d{2}(?::\d{2})?(?!\d)"
)
DECIMAL = re.compile(
    r"[+-]?(?<![\d.])(?:"
    r"[01]?\d{1,2}\.\d{4,8}(?!\.?\d)"  # degrees, a latitude or a longitude
    r"|\d{1,4}\.\d{1,3}(?!\.?\d|[ /-]\d))"
)

_GAP, _GAPS = r"[ ./-]?", r"[ ()./-]{0,2}"
_EARLIER, _LATER = r"(?<![\d.,])", r"(?!\d|[.,]\d)"
TELEPHONE = (
    # International: a plus or two zeros, a country code, at most 15 digits in all.
    re.compile(rf"(?:\+|{_EARLIER}00)[1-9](?:{_GAPS}\d){{7,14}}{_LATER}"),
    # North America: area and exchange begin with 2 to 9, then four digits.
    re.compile(rf"{_EARLIER}(?:1{_GAP})?(?:\([2-9]\d\d\) ?|[2-9]\d\d{_GAP})[2-9]\d\d{_GAP}\d{{4}}{_LATER}"),
    # National elsewhere: a leading zero, groups of digits with gaps, 9 to 12 digits in all.
    re.compile(
        rf"{_EARLIER}(?=\(?(?:{_GAPS}\d){{9,12}}{_LATER})"
        rf"\(?0\d{{1,4}}(?:[ ()./-]{{1,2}}\d{{2,8}}){{1,5}}{_LATER}"
    ),
    # Said to be one: a word for it, and at least six digits soon after.
    re.compile(r"\b(?:tele)?(?:phone|tel|call|cell|mobile|text|ring)\b\D{0,15}\d\d(?:[ ./-]?\d){4,}", re.I),
)


def private_shapes(text: str) -> tuple[str, ...]:
    """Return what a text seems to hold of that which leads to a person, in words.

    Parameters
    ----------
    text : str
        Free text of any length and script.

    Returns
    -------
    tuple of str
        "an e-mail address", "a telephone number", both or neither.

    Reference
    ---------
    ITU-T Recommendation E.164 (2010), clause 6: at most 15 digits with the country code. North American
    Numbering Plan: area code and exchange begin with 2 to 9. RFC 5321, section 4.5.3.1: lengths of an e-mail
    address. All from memory.
    """
    plain = unicodedata.normalize("NFKC", text)
    found = []
    if EMAIL.search(plain):
        found.append("an e-mail address")
    numbers = DECIMAL.sub("#", DATE_OR_TIME.sub("#", plain))
    if any(shape.search(numbers) for shape in TELEPHONE):
        found.append("a telephone number")
    return tuple(found)


def privacy_caution(what: str, text: str) -> str | None:
    """Return the caution about a text, or ``None`` where it holds nothing of the kind.

    Parameters
    ----------
    what : str
        Which text, such as "The notes".
    text : str
        The text itself; it is not repeated.
    """
    found = private_shapes(text)
    if not found:
        return None
    return (
        f"{what} seem to hold {' and '.join(found)}. What leads to a person does not belong in a visit: "
        "correct the visit without it, and tell your coordinator that it was there."
    )
