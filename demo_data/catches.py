"""What the nets bring up, in the names the classes write, and the catches planted at the edges of scores."""

from dataclasses import dataclass
from datetime import date, timedelta
from itertools import pairwise

import numpy as np
from records import Catch, Count, Visit
from stream_model import Week, site_character

# Month and day in the week when the nets go out, four a school year; high water moves a week to the next.
CATCH_DATES = ((9, 22), (10, 13), (4, 20), (5, 18))
LETTER_SCHOOL = "pebblegate"  # counts with letters in the first school year
FAMILY_SCHOOLS = frozenset({"quillmere", "harrowmoss", "wrenfold"})  # write families; the others common names


@dataclass(frozen=True)
class Animal:
    """One animal of the community: its shares in clean water and at the source, and its everyday names.

    ``kind`` is the animal kind on a form of letters, which gathers several families.
    """

    family: str
    stage: str | None
    clean_share: float
    foul_share: float
    common_name: str
    kind: str


COMMUNITY = (
    Animal("Perlidae", None, 5, 0, "golden stonefly", "stonefly"),
    Animal("Nemouridae", None, 4, 0, "stonefly", "stonefly"),
    Animal("Heptageniidae", None, 13, 0, "flathead mayfly", "mayfly"),
    Animal("Baetidae", None, 10, 2, "minnow mayfly", "mayfly"),
    Animal("Ephemerellidae", None, 9, 0, "spiny crawler", "mayfly"),
    Animal("Leptophlebiidae", None, 4, 0, "prong-gill mayfly", "mayfly"),
    Animal("Hydropsychidae", None, 9, 4, "net spinner", "net-spinning caddisfly"),
    Animal("Philopotamidae", None, 4, 0, "finger-net caddisfly", "net-spinning caddisfly"),
    Animal("Glossosomatidae", None, 4, 0, "saddle-case maker", "cased caddisfly"),
    Animal("Limnephilidae", None, 3, 0, "case-building caddisfly", "cased caddisfly"),
    Animal("Elmidae", "larva", 7, 1, "riffle beetle", "beetle larva"),
    Animal("Elmidae", "adult", 3, 0, "riffle beetle", "riffle beetle"),
    Animal("Psephenidae", None, 5, 0, "water penny", "water penny"),
    Animal("Corydalus", None, 1, 0, "hellgrammite", "hellgrammite"),
    Animal("Tipulidae", None, 2, 1, "crane fly", "crane fly"),
    Animal("Simuliidae", None, 3, 5, "black fly", "black fly"),
    Animal("Chironomidae", None, 9, 22, "midge", "midge"),
    Animal("bloodworm", None, 0, 9, "bloodworm", "midge"),
    Animal("Gammaridae", None, 8, 4, "scud", "scud"),
    Animal("Asellidae", None, 1, 12, "sowbug", "sowbug"),
    Animal("Cambaridae", None, 1, 1, "crayfish", "crayfish"),
    Animal("Sphaeriidae", None, 1, 4, "fingernail clam", "clam"),
    Animal("Physidae", None, 1, 10, "pouch snail", "pouch snail"),
    Animal("Oligochaeta", None, 2, 22, "worm", "worm"),
    Animal("Erpobdellidae", None, 0.3, 3, "leech", "leech"),
    Animal("Gerridae", None, 0.7, 0, "water strider", "water strider"),
)

WORKED = (
    "Perlidae 3;Heptageniidae 12;Baetidae 21;mayfly 5;Hydropsychidae 34;Glossosomatidae 7;Limnephilidae 4;"
    "Elmidae/adult 4;Elmidae/larva 14;Psephenidae 6;Tipulidae 3;Simuliidae 9;Chironomidae 29;Gammaridae 11;"
    "Asellidae 4;Cambaridae 2;Sphaeriidae 5;Physidae 4;Oligochaeta 8;Erpobdellidae 1;Gerridae 2;"
    "unknown 3;ant 1"
)
STREAMSIDE_40 = (
    "Heptageniidae 10;Perlidae 11;Tipulidae 3;Cambaridae 2;Gammaridae 12;Hydropsychidae 34;Asellidae 15;"
    "Sphaeriidae 10;Elmidae/larva 100;Erpobdellidae 1;Physidae 4;Simuliidae 9;Chironomidae 29;Oligochaeta 10"
)
HUNDRED = "Heptageniidae 22;Ephemerellidae 15;Hydropsychidae 20;Psephenidae 9;Chironomidae 18;Gammaridae 16"
MIXED_RANKS = (
    "mayfly 12;Baetidae 9;golden stonefly 6;caddisfly 5;net spinner 11;riffle beetle/adult 4;"
    "riffle beetle/larva 9;water penny 7;midge 13;scud 12;many-legged wriggler 2;ant 2"
)
STREAMSIDE_20 = "mayfly C;net-spinning caddisfly C;crayfish C;scud C;sowbug D;leech R"
HALF_UP = "Perlidae 39;Glossosomatidae 3;Heptageniidae 40;Baetidae 38;Hydropsychidae 40;Chironomidae 40"
TWELVE = "worm 6;midge 4;pouch snail 2"
FORTY_FIVE = "worm 14;midge 11;sowbug 9;pouch snail 6;net spinner 5"


@dataclass(frozen=True)
class Promise:
    """What an index must say of a planted catch; empty where nothing is promised."""

    index: str
    value: str = ""
    band: str = ""
    standing: str = ""


@dataclass(frozen=True)
class PlantedCatch:
    """A catch laid down by hand: ``number`` says which of the site's four catches of that school year."""

    site: str
    school_year: int
    number: int
    animals: str
    why: str
    promises: tuple[Promise, ...] = ()


PLANTED = (
    PlantedCatch(
        "alder-02",
        1,
        0,
        WORKED,
        "a full worked catch: order-level mayfly beside families, both stages of a beetle, unknowns, an ant",
        (
            Promise("streamside-survey", "55.1", "good"),
            Promise("family-biotic-core", "4.32", "good", "rated"),
            Promise("family-biotic-extended", "4.71", "good", "rated"),
            Promise("ept-richness", "6"),
            Promise("ept-percent", "46.24"),
            Promise("taxa-richness", "18"),
        ),
    ),
    PlantedCatch(
        "hornbeam-03", 0, 0, TWELVE, "12 animals", (Promise("family-biotic-extended", standing="too_few"),)
    ),
    PlantedCatch(
        "hornbeam-03", 0, 1, "", "an empty net", (Promise("family-biotic-extended", standing="empty"),)
    ),
    PlantedCatch(
        "hornbeam-02",
        0,
        0,
        FORTY_FIVE,
        "45 animals",
        (Promise("family-biotic-extended", standing="provisional"),),
    ),
    PlantedCatch(
        "larch-03",
        0,
        2,
        HUNDRED,
        "exactly 100 animals with a tolerance value",
        (Promise("family-biotic-extended", standing="rated"),),
    ),
    PlantedCatch(
        "rowan-04",
        0,
        0,
        STREAMSIDE_20,
        "streamside score exactly 20.0, from letters",
        (Promise("streamside-survey", "20.0", "fair"),),
    ),
    PlantedCatch(
        "rowan-01",
        0,
        1,
        STREAMSIDE_40,
        "streamside score exactly 40.0",
        (Promise("streamside-survey", "40.0", "fair"),),
    ),
    PlantedCatch(
        "alder-04",
        0,
        0,
        HALF_UP,
        "biotic index exactly 751/200 = 3.755, half up 3.76",
        (
            Promise("family-biotic-core", "3.76", "very good", "rated"),
            Promise("family-biotic-extended", "3.76", "very good", "rated"),
        ),
    ),
    PlantedCatch("alder-01", 1, 2, MIXED_RANKS, "order names beside families, an unknown animal, ants"),
)


def catch_weeks(weeks: list[Week]) -> dict[int, tuple[int, int]]:
    """Return week index -> (school year, which catch), never in a storm or in the week after one."""
    chosen: dict[int, tuple[int, int]] = {}
    for year in (0, 1):
        for number, (month, day) in enumerate(CATCH_DATES):
            earliest = date(2024 + year + (month < 7), month, day) - timedelta(days=6)
            chosen[
                next(
                    week.index
                    for before, week in pairwise(weeks)
                    if week.monday >= earliest and not week.storm and not before.storm and not week.frozen
                )
            ] = (year, number)
    return chosen


def take_catch(visit: Visit, year: int, number: int, rng: np.random.Generator) -> Catch:
    """Return the catch of a visit: the planted one where there is one, else a draw from the community."""
    gear, area_m2 = ("d-net", 3.0) if visit.site.school in {"quillmere", "otterlow"} else ("kick-seine", 1.0)
    letters = visit.site.school == LETTER_SCHOOL and year == 0
    scheme = "rcd-1-10-100" if letters else "counts"
    for planted in PLANTED:
        if (planted.site, planted.school_year, planted.number) == (visit.site.code, year, number):
            return Catch(gear, 20, area_m2, scheme, parse_counts(planted.animals))
    numbers = _animals(visit, rng)
    counts = _letters(numbers) if letters else _counts(numbers, visit.site.school in FAMILY_SCHOOLS)
    return Catch(gear, int(rng.choice([15, 20, 20, 25])), area_m2, scheme, counts)


def parse_counts(text: str) -> tuple[Count, ...]:
    """Return the counts of a text such as ``midge 4;Elmidae/adult 2;leech R``."""
    counts = []
    for part in filter(None, text.split(";")):
        written, amount = part.rsplit(" ", 1)
        taxon, _, stage = written.partition("/")
        number, letter = (None, amount) if amount.isalpha() else (int(amount), None)
        counts.append(Count(taxon, number, letter, stage or None))
    return tuple(counts)


def _animals(visit: Visit, rng: np.random.Generator) -> list[int]:
    plume = site_character(visit.site).plume
    shares = np.array([animal.clean_share * (1 - plume) + animal.foul_share * plume for animal in COMMUNITY])
    total = rng.integers(115, 185) * (1 - 0.5 * plume)
    return [int(number) for number in rng.multinomial(int(total), shares / shares.sum())]


def _counts(numbers: list[int], families: bool) -> tuple[Count, ...]:
    return tuple(
        Count(animal.family if families else animal.common_name, number, None, animal.stage)
        for animal, number in zip(COMMUNITY, numbers, strict=True)
        if number
    )


def _letters(numbers: list[int]) -> tuple[Count, ...]:
    kinds: dict[str, int] = {}
    for animal, number in zip(COMMUNITY, numbers, strict=True):
        kinds[animal.kind] = kinds.get(animal.kind, 0) + number
    return tuple(
        Count(kind, None, letter_of(number), "adult" if kind == "riffle beetle" else None)
        for kind, number in kinds.items()
        if number
    )


def letter_of(number: int) -> str:
    """Return the letter of a number of animals: R 1 to 9, C 10 to 99, D 100 and more."""
    if number < 10:
        return "R"
    return "C" if number < 100 else "D"
