"""Numbers as people type them on a telephone: taken where one reading is possible, else asked about."""

import re

COMMA = "comma"  # the field by which somebody says that a comma stands before the decimals
LONGEST = 40
_NUMBER = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)", re.ASCII)
_WITH_COMMA = re.compile(r"[+-]?\d*,\d+", re.ASCII)
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(,\d{3})+", re.ASCII)


class Ask(Exception):
    """What was typed cannot be taken as it is; the message asks what is meant."""

    def __init__(self, message: str) -> None:
        super().__init__(message)
        self.message = message


def typed_number(text: str, *, comma: bool) -> float:
    """Return a number that was typed.

    Parameters
    ----------
    text : str
        What was typed, not empty.
    comma : bool
        Somebody has said that a comma stands before the decimals.

    Raises
    ------
    Ask
        It is no number, or may stand for more than one.
    """
    text = text.replace("\u2212", "-").replace("\u00a0", " ").strip()
    if len(text) > LONGEST:
        raise Ask("This is too long for a number. Type the number alone, such as 7.5.")
    if _THOUSANDS.fullmatch(text):
        whole, part = text.replace(",", ""), text.replace(",", ".", 1).rstrip("0")
        raise Ask(f"Is {text} meant as {whole} or as {part}? Type the one that it is, without this comma.")
    if _WITH_COMMA.fullmatch(text):
        if not comma:
            raise Ask(
                f"Is {text} the same as {text.replace(',', '.')}? Then tick the box "
                "“a comma stands before the decimals” above the readings, or type it with a point."
            )
        text = text.replace(",", ".")
    if not _NUMBER.fullmatch(text):
        raise Ask(f"“{text}” is not a number. Type the number alone, such as 7.5: its unit stands beside it.")
    return float(text)


def typed_limit(text: str, mark: str, *, comma: bool) -> tuple[float, str | None]:
    """Return a reading that was typed, and on which side of it the true value lies, if on one.

    ``mark`` is what was chosen beside it; a sign before the number says the same.

    Raises
    ------
    Ask
        It is no number, or sign and choice differ.
    """
    sign = text[:1] if text[:1] in {"<", ">"} else ""
    if text[:1] in {"≤", "≥"} or text[1:2] == "=":
        raise Ask("Write < where the kit could show no less, > where it could show no more.")
    if sign and mark and sign != mark:
        raise Ask(f"The number has {sign} before it, but {mark} is chosen beside it. Keep one of them.")
    return typed_number(text.removeprefix(sign), comma=comma), sign or mark or None


def typed_whole(text: str) -> int:
    """Return a whole number that was typed.

    Raises
    ------
    Ask
        It is none.
    """
    if not re.fullmatch(r"\d{1,9}", text, re.ASCII):
        raise Ask(f"“{text[:LONGEST]}” is not a whole number. Type how many there were, such as 12.")
    return int(text)
