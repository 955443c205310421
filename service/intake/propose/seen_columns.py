"""What each column seems to be: by its head, unless what stands in it says otherwise."""

from collections import Counter
from collections.abc import Sequence

from service.core.schema import one_line
from service.intake.mapping.readers.head import Head
from service.intake.mapping.written.words import plain_word
from service.intake.propose.by_content import (
    are_bare_clocks,
    are_bare_dates,
    are_days_in_one,
    are_marks,
    is_animal,
    names_animals,
    signs_of,
)
from service.intake.propose.cell_kinds import Look
from service.intake.propose.draft import SeenColumn
from service.intake.propose.facts import NUMBERS, Facts, facts_of
from service.intake.propose.head_words import Certainty, HeadMeaning, meaning_of
from service.intake.sheets.cell import Row
from service.reference.load import load_catalogue

LONGEST_NAME = 200
MOSTLY = 0.5
ALL_BUT = 0.8
DATES = (Look.DATE, Look.NAMED_DATE, Look.REAL_DATE)
CLOCKS = (Look.CLOCK, Look.REAL_TIME)
MEASURED = frozenset(
    {
        "air_temperature",
        "rain_48h_mm",
        "minutes",
        "area_m2",
        "sorted_share",
        "nitrate_and_nitrite",
        "secchi",
        "not_ours",
    }
)


def seen_columns(head: Row, rows: list[Row], units: Sequence[str] = ()) -> list[SeenColumn]:
    """Return the columns of a sheet, each with what it seems to be; ``units`` stand below the head."""
    names = [cell.text for cell in head.cells]
    known = Head(head)
    often = Counter(map(plain_word, names))
    found = []
    for place, (name, facts) in enumerate(zip(names, facts_of(len(names), rows), strict=True)):
        ref = name if often[plain_word(name)] == 1 and _may_be_named(name) else place + 1
        column = SeenColumn(place, name, ref, known.label(place), facts)
        column.unit = units[place].strip() if place < len(units) else ""
        _weigh(column)
        if facts.faults:
            many, row, fault = facts.faults
            column.remarks.append(f"cells that are refused: {many}; the first, in row {row}, {fault}")
        if often[plain_word(name)] > 1:
            column.remarks.append(
                f"{often[plain_word(name)]} columns have this name, so it goes by its number"
            )
        found.append(column)
    return found


def is_measured(means: str) -> bool:
    """Tell whether a meaning is that of a column of numbers."""
    return means in MEASURED or means in load_catalogue().parameters


def _may_be_named(name: str) -> bool:
    try:
        return 0 < len(one_line(name)) <= LONGEST_NAME
    except ValueError:
        return False


def _weigh(column: SeenColumn) -> None:
    facts, meaning = column.facts, meaning_of(column.head)
    if signs_of(facts):
        _set(column, "censored", Certainty.LIKELY, "signs of limits stand in it")
    elif not facts.filled:
        column.why = "nothing is written in it"
        if facts.faults and meaning is not None and is_measured(meaning.means):
            _set(column, meaning.means, Certainty.MAYBE, "all that its cells hold is refused")
    elif meaning is not None:
        _by_head(column, meaning)
    elif facts.share(*DATES) > ALL_BUT or are_days_in_one(facts):
        _set(column, "date", Certainty.MAYBE, "dates stand in it")
    elif facts.share(*CLOCKS) > ALL_BUT:
        _set(column, "time", Certainty.MAYBE, "times of day stand in it")
    elif _counts_or_marks(facts) and is_animal(column.name):
        _set(column, "animal", Certainty.LIKELY, "its head is the name of an animal, and counts stand in it")
    elif names_animals(facts):
        _set(column, "taxon", Certainty.LIKELY, "most words in it are names of animals")
    else:
        column.why = "no word of its head is known here"


def _by_head(column: SeenColumn, meaning: HeadMeaning) -> None:
    facts, means = column.facts, meaning.means
    says = f'its head says "{meaning.word}"'
    if means == "flow_word" and _numbers(facts) > MOSTLY:
        means = "flow_number"
    if means == "day_of_month" and facts.share(*NUMBERS) < MOSTLY:
        means = "date"
    if means == "sorted_share" and facts.share(*NUMBERS) + facts.begin_with_number > MOSTLY:
        _set(column, means, meaning.certainty, says)
    elif is_measured(means) and _numbers(facts) < MOSTLY:
        _set(column, "notes", Certainty.MAYBE, f"{says}, but words stand in it and not numbers")
    elif means in ("latitude", "longitude", "value") and _numbers(facts) < MOSTLY:
        column.why = f"{says}, but words stand in it"
    elif means in ("date", "time"):
        _by_head_of_moment(column, meaning, means, says)
    else:
        _set(column, means, meaning.certainty, says)
        column.more = meaning.more


def _by_head_of_moment(column: SeenColumn, meaning: HeadMeaning, means: str, says: str) -> None:
    facts, is_sure = column.facts, meaning.certainty is Certainty.SURE
    if means == "date" and not is_sure and facts.share(*DATES) < MOSTLY and not are_bare_dates(facts):
        column.why = f"{says}, but no dates stand in it"
    elif means == "time" and facts.share(Look.WORD) > MOSTLY:
        _set(column, "notes", Certainty.MAYBE, f"{says}, but words stand in it")
    elif means == "time" and facts.share(*DATES) > MOSTLY:
        _set(column, "date", Certainty.LIKELY, "its head says time, and dates stand in it")
    elif means == "time" and not is_sure and facts.share(*NUMBERS) > MOSTLY and not are_bare_clocks(facts):
        column.why = f"{says}, but its numbers are no times of day"
    else:
        _set(column, means, meaning.certainty, says)


def _numbers(facts: Facts) -> float:
    """Return which part of the cells holds a number, or begins with one, such as 7-8 or 3.2*."""
    return facts.share(*NUMBERS, Look.LIMIT) + facts.begin_with_number


def _counts_or_marks(facts: Facts) -> bool:
    return (facts.share(*NUMBERS) > MOSTLY and facts.whole) or are_marks(facts)


def _set(column: SeenColumn, means: str, certainty: Certainty, why: str) -> None:
    column.means, column.certainty, column.why = means, certainty, why


def numbers_told(facts: Facts) -> str:
    """Return between which numbers the values of a column lie, for a person."""
    if facts.low is None or facts.high is None:
        return ""
    return f"Its numbers run from {facts.low:.6g} to {facts.high:.6g}."
