"""What the name of a column seems to mean, by our own list of words that people write there."""

import csv
import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from importlib.resources import files

LONGEST_HEAD = 200
SHORTEST_ENDING = 4  # letters: STRMTEMP ends in temp
IN_BRACKETS = r"[\(\[\{](.*?)[\)\]\}]"


class Certainty(StrEnum):
    """How far a guess may be trusted, in words."""

    SURE = "sure"
    LIKELY = "likely"
    MAYBE = "maybe"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class HeadMeaning:
    """What a head seems to mean; ``word`` is the known word that was found in it.

    ``more`` is what else the head says, beside units and words that change nothing: `rain` in `rain pH`.
    """

    means: str
    certainty: Certainty
    word: str
    more: str = ""


@dataclass(frozen=True, slots=True)
class _Word:
    text: str
    means: str
    whole: bool
    place: int


def meaning_of(head: str) -> HeadMeaning | None:
    """Return what a head seems to mean, or ``None`` where no known word is in it.

    The whole head goes before words inside it, longer words before shorter, the list's order after that.
    """
    plain = plain_head(head)
    if not plain:
        return None
    found = [word for word in _words() if word.text == plain]
    if found:
        return HeadMeaning(found[0].means, Certainty.SURE, found[0].text, _more(head, plain, plain))
    inside = [word for word in _words() if not word.whole and f" {word.text} " in f" {plain} "]
    if inside:
        best = max(inside, key=lambda word: (len(word.text), -word.place))
        return HeadMeaning(best.means, Certainty.LIKELY, best.text, _more(head, plain, best.text))
    endings = [word for word in _words() if not word.whole and _ends_in(plain, word.text)]
    if endings:
        best = max(endings, key=lambda word: (len(word.text), -word.place))
        return HeadMeaning(best.means, Certainty.MAYBE, best.text, _more(head, plain, ""))
    return None


def plain_head(head: str) -> str:
    """Return a head as it is compared: small letters without accents, one space, nothing in brackets."""
    return _plain(re.sub(IN_BRACKETS, " ", head[:LONGEST_HEAD]))


def in_brackets(head: str) -> str:
    """Return what stands in the last brackets of a head, such as its unit; empty where there are none."""
    found: Sequence[str] = re.findall(IN_BRACKETS, head[:LONGEST_HEAD])
    return found[-1].strip() if found else ""


def _plain(text: str) -> str:
    letters = unicodedata.normalize("NFKD", text)
    text = "".join(letter for letter in letters if not unicodedata.combining(letter))
    text = re.sub(r"(?<=[a-z])(?=[A-Z][a-z])|(?<=[a-z]{2})(?=[A-Z])", " ", text)
    return " ".join(re.sub(r"[^\w+]+|_", " ", text.casefold()).split())


def _more(head: str, plain: str, known: str) -> str:
    """Return the words of a head that are neither the known one nor such as change nothing."""
    rest = f" {plain} ".replace(f" {known} ", " ", 1) if known else plain
    brackets = _plain(" ".join(re.findall(IN_BRACKETS, head[:LONGEST_HEAD])))
    words = f"{rest} {brackets}".split()
    return " ".join(word for word in words if word not in _beside() and not word.isdecimal())


def _ends_in(plain: str, word: str) -> bool:
    return len(word) >= SHORTEST_ENDING and any(part.endswith(word) for part in plain.split())


@cache
def _words() -> tuple[_Word, ...]:
    text = (files("service.intake.propose") / "head_words.csv").read_text("utf-8")
    return tuple(
        _Word(word, row["means"], row["how"] == "whole", place)
        for place, row in enumerate(csv.DictReader(text.splitlines()))
        for word in row["words"].split(";")
    )


@cache
def _beside() -> frozenset[str]:
    text = (files("service.intake.propose") / "words_beside.csv").read_text("utf-8")
    return frozenset(word for row in csv.DictReader(text.splitlines()) for word in row["words"].split(";"))
