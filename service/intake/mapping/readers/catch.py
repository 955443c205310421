"""Reads the animals of a row."""

from collections.abc import Iterator
from typing import Any, Literal

from service.intake.mapping.bodies.catch import CatchMapping
from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.part import Sent
from service.intake.mapping.readers.coded import (
    YES_NO,
    CodedReader,
    MeasuredReader,
    whole_number,
    words_of,
)
from service.intake.mapping.readers.head import Bound, Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.readers.taxa import remark_on_name
from service.intake.mapping.written.numbers import NumberRule, read_number, read_share
from service.intake.mapping.written.words import plain_word, word_of
from service.intake.sheets.cell import Value
from service.science.catch import CountScheme
from service.visits.schemas import Gear, LifeStage

LETTERS: tuple[Literal["R", "C", "D"], ...] = ("R", "C", "D")
FOUND, NOT_FOUND = "P", ""
MARKS = YES_NO | dict.fromkeys(("x", "+", "present"), True) | dict.fromkeys(("-", "absent"), False)
WHOLE_FACTS = frozenset({"jabs"})


class CatchReader:
    """Reads counts or letters, and how the animals were caught."""

    def __init__(self, body: CatchMapping, head: Head, rule: NumberRule) -> None:
        self._letters = body.letters
        self._found_only = body.found_only
        self._letter_words = {plain_word(word): letter for word, letter in body.letter_words.items()}
        self._letter_words |= {letter.lower(): letter for letter in LETTERS if not body.letter_words}
        self._rule = rule
        self._taxon = head.find(body.taxon) if body.taxon is not None else None
        self._count = head.find(body.count) if body.count is not None else None
        self._stage = CodedReader(body.life_stage, head, words_of(LifeStage)) if body.life_stage else None
        self._columns = [(head.find(animal.column), animal) for animal in body.columns]
        self._gear = CodedReader(body.gear, head, words_of(Gear)) if body.gear else None
        measured = {
            name: getattr(body, name) for name in ("minutes", "area_m2", "jabs", "mesh_um", "sorted_share")
        }
        self._measured = {
            name: MeasuredReader(fact, head, rule) for name, fact in measured.items() if fact is not None
        }
        if body.sorted_share is not None and body.sorted_share.times is None:
            self._measured["sorted_share"] = MeasuredReader(body.sorted_share, head, rule, read_share)
        self._counted_only = body.counted_only

    def read(self, row: OpenRow) -> tuple[list[Sent], dict[str, Sent] | None]:
        """Return the lines of the catch, and how it was caught; ``None`` for a row without animals."""
        lines = list(self._lines(row))
        if not lines:
            return [], None
        return [line for line in lines if line is not None], self._how(row)

    def _lines(self, row: OpenRow) -> Iterator[Sent | None]:
        """Give each line; ``None`` for an animal that was looked for and not found."""
        for bound, animal in self._columns:
            found = row.take(bound, self._found)
            if found is not None:
                stage = animal.life_stage.value if animal.life_stage else ""
                yield self._line(row, bound, animal.taxon, found, stage)
        if self._taxon is None:
            return
        name = row.take(self._taxon, word_of)
        if self._count is None:
            if name is not None:
                yield self._line(row, self._taxon, name, FOUND, self._stage.read(row) if self._stage else "")
            return
        found = row.take(self._count, self._found)
        if name is None and found is not None:
            row.refuse(self._taxon, "does not name the animal that was counted; write its name")
        elif name is not None and found is None and row.is_missing(self._count):
            row.refuse(self._count, "gives no count of this animal; write it, or 0 where there was none")
        elif name is not None and found is not None:
            yield self._line(row, self._taxon, name, found, self._stage.read(row) if self._stage else "")

    def _line(self, row: OpenRow, bound: Bound, name: str, found: int | str, stage: str) -> Sent | None:
        if found == NOT_FOUND:
            return None
        remark = remark_on_name(name)
        if remark:
            row.remark(bound, name, remark)
        kind = "abundance" if self._letters or self._found_only else "count"
        line: dict[str, Any] = {"taxon": name, kind: found}
        if stage:
            line["life_stage"] = stage
        return Sent(line, bound.label)

    def _found(self, value: Value) -> int | str:
        if self._found_only:
            return FOUND if self._is_marked(value) else NOT_FOUND
        if not self._letters:
            return whole_number(read_number(value, self._rule))
        letter = self._letter_words.get(plain_word(word_of(value)))
        if letter is None:
            raise Refused("is none of the letters R (1-9), C (10-99) and D (100 or more); write one of them")
        return letter

    def _is_marked(self, value: Value) -> bool:
        marked = MARKS.get(plain_word(word_of(value)))
        if marked is None:
            raise Refused("does not say whether the animal was found; write yes or no, or x where it was")
        return marked

    def _how(self, row: OpenRow) -> dict[str, Sent]:
        scheme = CountScheme.RCD_1_10_100 if self._letters else CountScheme.COUNTS
        scheme = CountScheme.PRESENCE if self._found_only else scheme
        facts = {"count_scheme": Sent(scheme.value, "")}
        if self._gear and (gear := self._gear.read(row)):
            facts["gear"] = Sent(gear, self._gear.label)
        for name, reader in self._measured.items():
            fact = reader.read(row)
            if fact is not None and name in WHOLE_FACTS:
                fact = _whole_fact(row, reader, fact)
            if fact is not None:
                facts[name] = Sent(fact, reader.label)
        if self._counted_only:
            facts["counted_only"] = Sent(self._counted_only, "")
        return facts


def _whole_fact(row: OpenRow, reader: MeasuredReader, fact: float) -> int | None:
    try:
        return whole_number(fact)
    except Refused as refused:
        row.refuse(reader.bound, refused.reason)
        return None
