"""What each column seems to be: by its head, unless what stands in it says otherwise."""

from collections import Counter

from service.core.schema import one_line
from service.intake.mapping.readers.head import Head
from service.intake.mapping.written.words import plain_word
from service.intake.propose.cell_kinds import Look
from service.intake.propose.draft import SeenColumn
from service.intake.propose.facts import NUMBERS, Facts, facts_of
from service.intake.propose.head_words import Certainty, HeadMeaning, meaning_of
from service.intake.sheets.cell import Row
from service.reference.load import load_catalogue
from service.reference.taxon_name import Matched

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


def seen_columns(head: Row, rows: list[Row]) -> list[SeenColumn]:
    """Return the columns of a sheet, each with what it seems to be."""
    names = [cell.text for cell in head.cells]
    known = Head(head)
    often = Counter(map(plain_word, names))
    found = []
    for place, (name, facts) in enumerate(zip(names, facts_of(len(names), rows), strict=True)):
        ref = name if often[plain_word(name)] == 1 and _may_be_named(name) else place + 1
        column = SeenColumn(place, name, ref, known.label(place), facts)
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
    facts, meaning = column.facts, meaning_of(column.name)
    if not facts.filled:
        column.why = "nothing is written in it"
        return
    if meaning is not None:
        _by_head(column, meaning)
    elif facts.share(*DATES) > ALL_BUT:
        _set(column, "date", Certainty.MAYBE, "dates stand in it")
    elif facts.share(*CLOCKS) > ALL_BUT:
        _set(column, "time", Certainty.MAYBE, "times of day stand in it")
    elif facts.share(*NUMBERS) > MOSTLY and facts.whole and _is_animal(column.name):
        _set(column, "animal", Certainty.LIKELY, "its head is the name of an animal, and counts stand in it")
    else:
        column.why = "no word of its head is known here"


def _by_head(column: SeenColumn, meaning: HeadMeaning) -> None:
    facts, means = column.facts, meaning.means
    numbers = facts.share(*NUMBERS, Look.LIMIT)
    if means == "flow_word" and numbers > MOSTLY:
        means = "flow_number"
    if is_measured(means) and numbers < MOSTLY:
        why = f'its head says "{meaning.word}", but words stand in it and not numbers'
        _set(column, "notes", Certainty.MAYBE, why)
    elif means == "date" and meaning.certainty is not Certainty.SURE and facts.share(*DATES) < MOSTLY:
        column.why = f'its head says "{meaning.word}", but no dates stand in it'
    elif means in ("latitude", "longitude", "value") and numbers < MOSTLY:
        column.why = f'its head says "{meaning.word}", but words stand in it'
    elif means == "time" and facts.share(Look.WORD) > MOSTLY:
        _set(column, "notes", Certainty.MAYBE, f'its head says "{meaning.word}", but words stand in it')
    elif means == "time" and facts.share(*DATES) > MOSTLY:
        _set(column, "date", Certainty.LIKELY, "its head says time, and dates stand in it")
    else:
        _set(column, means, meaning.certainty, f'its head says "{meaning.word}"')


def _set(column: SeenColumn, means: str, certainty: Certainty, why: str) -> None:
    column.means, column.certainty, column.why = means, certainty, why


def _is_animal(name: str) -> bool:
    return isinstance(load_catalogue().resolve_taxon(name), Matched)


def numbers_told(facts: Facts) -> str:
    """Return between which numbers the values of a column lie, for a person."""
    if facts.low is None or facts.high is None:
        return ""
    return f"Its numbers run from {facts.low:.6g} to {facts.high:.6g}."
