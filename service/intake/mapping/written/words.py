"""Words as people write them: when two are the same, and which are near."""

import unicodedata
from collections.abc import Iterable
from difflib import get_close_matches

from service.intake.sheets.cell import Value

MOST_NEAR = 3
LIKENESS = 0.7  # below this the near misses of difflib are no help to a reader
LONGEST_WORD = 80
MOST_ASKED = 200  # looking for near words is slow, and a sheet with more wrong words is the wrong sheet


BLANKS = dict.fromkeys(map(ord, "\u00a0\u202f\u2009\u2007"), " ")


def plain_blanks(text: str) -> str:
    """Return a text with ordinary blanks for those that do not break or are narrow, and none around it."""
    return text.translate(BLANKS).strip()


def plain_word(word: str) -> str:
    """Return a word in the form that is compared: no capitals, blanks of any kind as one space.

    Of letters that look alike (the two signs for micro, an accent written apart) one stands for all.
    """
    if not word.isascii():
        word = unicodedata.normalize("NFKC", word)
    return " ".join(word.casefold().split())


def word_of(value: Value) -> str:
    """Return a cell as the word that a person sees: 3.0 of a workbook is 3, nothing is an empty word."""
    if value is None:
        return ""
    if isinstance(value, str):
        return value.strip()
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)


class NearWords:
    """Known words, to be asked which of them are written almost like another."""

    def __init__(self, known: Iterable[str]) -> None:
        self._by_form = {plain_word(word): word for word in known}
        self._asked: dict[str, str] = {}

    def did_you_mean(self, word: str) -> str:
        """Return a question to set behind a reason, or nothing where no word is near.

        Numbers are near to nothing: site 34 is no slip for site 36.
        """
        form = plain_word(word)
        if form not in self._asked:
            if len(form) > LONGEST_WORD or len(self._asked) >= MOST_ASKED or not any(map(str.isalpha, form)):
                return ""
            near = get_close_matches(form, self._by_form, MOST_NEAR, LIKENESS)
            meant = " or ".join(self._by_form[one] for one in near)
            self._asked[form] = f"; did you mean {meant}?" if near else ""
        return self._asked[form]
