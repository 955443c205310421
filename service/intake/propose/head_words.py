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


class Certainty(StrEnum):
    """How far a guess may be trusted, in words."""

    SURE = "sure"
    LIKELY = "likely"
    MAYBE = "maybe"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True)
class HeadMeaning:
    """What a head seems to mean; ``word`` is the known word that was found in it."""

    means: str
    certainty: Certainty
    word: str


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
        return HeadMeaning(found[0].means, Certainty.SURE, found[0].text)
    inside = [word for word in _words() if not word.whole and f" {word.text} " in f" {plain} "]
    if inside:
        best = max(inside, key=lambda word: (len(word.text), -word.place))
        return HeadMeaning(best.means, Certainty.LIKELY, best.text)
    endings = [word for word in _words() if not word.whole and _ends_in(plain, word.text)]
    if endings:
        best = max(endings, key=lambda word: (len(word.text), -word.place))
        return HeadMeaning(best.means, Certainty.MAYBE, best.text)
    return None


def plain_head(head: str) -> str:
    """Return a head as it is compared: small letters, words parted by one space, nothing in brackets."""
    text = unicodedata.normalize("NFKC", re.sub(r"[\(\[\{].*?[\)\]\}]", " ", head[:LONGEST_HEAD]))
    text = re.sub(r"(?<=[a-z])(?=[A-Z][a-z])", " ", text)
    return " ".join(re.sub(r"[^\w+]+|_", " ", text.casefold()).split())


def in_brackets(head: str) -> str:
    """Return what stands in the last brackets of a head, such as its unit; empty where there are none."""
    found: Sequence[str] = re.findall(r"[\(\[\{]\s*(.*?)\s*[\)\]\}]", head[:LONGEST_HEAD])
    return found[-1] if found else ""


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
