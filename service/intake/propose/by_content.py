"""What a column may be by what stands in it, whatever its head says."""

from service.intake.mapping.written.words import plain_word
from service.intake.propose.facts import Facts
from service.reference.load import load_catalogue
from service.reference.taxon_name import Matched

SERIALS = (20_000, 80_000)  # days since 1900 of the years 1954 to 2119
YEAR_MONTH_DAY = (19_000_101, 21_001_231)
LONGEST_MARK = 10
MOST_MARKS = 6
MOST_LOOKED_AT = 8  # a name that is not known is slow to look for
FEWEST_ANIMALS = 2
KNOWN_ANIMALS = 0.5
# What a column beside a reading says of it. Common practice of laboratories: U is "not detected".
SIGNS = {"<": "<", ">": ">", "nd": "<", "n.d.": "<", "bdl": "<", "u": "<", "=": "", "": ""}


def signs_of(facts: Facts) -> dict[str, str]:
    """Return what each word of a column of signs stands for; nothing where it is no such column."""
    written = [*facts.words, *facts.missing]
    signs = {word: SIGNS.get(plain_word(word)) for word in written}
    known = {word: sign for word, sign in signs.items() if sign is not None}
    return known if len(known) == len(signs) and any(known.values()) else {}


def are_bare_dates(facts: Facts) -> bool:
    """Tell whether numbers may be days that a spreadsheet counts, or year, month and day in one."""
    if facts.low is None or facts.high is None:
        return False
    return any(least <= facts.low <= facts.high <= most for least, most in (SERIALS, YEAR_MONTH_DAY))


def are_days_in_one(facts: Facts) -> bool:
    """Tell whether all numbers are year, month and day in one: 20250312."""
    return are_bare_dates(facts) and facts.whole and (facts.low or 0) >= YEAR_MONTH_DAY[0]


def are_bare_clocks(facts: Facts) -> bool:
    """Tell whether numbers may be times of day: 905, 9.05 or a share of the day."""
    if facts.low is None or facts.high is None or facts.low < 0:
        return False
    if facts.whole:
        return 100 <= facts.high <= 2400
    return facts.high < 24


def is_animal(name: str) -> bool:
    """Tell whether a name stands for one taxon."""
    return isinstance(load_catalogue().resolve_taxon(name), Matched)


def are_marks(facts: Facts) -> bool:
    """Tell whether a few short words stand in a column, such as x, or letters for how many."""
    return 0 < len(facts.words) <= MOST_MARKS and all(len(word) <= LONGEST_MARK for word in facts.words)


def names_animals(facts: Facts) -> bool:
    """Tell whether most words of a column are names of animals."""
    words = list(facts.words)[:MOST_LOOKED_AT]
    return len(words) >= FEWEST_ANIMALS and sum(map(is_animal, words)) > KNOWN_ANIMALS * len(words)
