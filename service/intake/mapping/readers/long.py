"""Reads the one reading of a row, of a sheet in which a column names what was measured."""

from collections.abc import Sequence

from service.intake.mapping.bodies.file import FileBody
from service.intake.mapping.bodies.readings import LongBody, ReadingKind
from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.part import Sent
from service.intake.mapping.readers.head import Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.readers.value import ValueReader
from service.intake.mapping.written.words import NearWords, plain_word, word_of


class LongReader:
    """Reads a reading of the parameter that the row names."""

    def __init__(self, body: LongBody, head: Head, file: FileBody) -> None:
        self._parameter = head.find(body.parameter)
        self._unit = head.find(body.unit) if body.unit is not None else None
        self._value = ValueReader(head.find(body.value), body, head, file)
        self._kinds = {plain_kind(word): kind for word, kind in body.kinds.items()}
        self._left_out = {plain_kind(word) for word in body.left_out}
        self._words = tuple(body.kinds)
        self._near = NearWords(body.kinds)

    def left_out(self, row: OpenRow) -> str:
        """Return why a row is not wanted; nothing for one that is."""
        if not self._left_out:
            return ""
        word = word_of(row.cell(self._parameter).value)
        forms = {plain_kind(word), plain_kind(self._with_unit(row, word))}
        return f'"{word}" is not taken from this sheet' if forms & self._left_out else ""

    def read(self, row: OpenRow) -> Sequence[Sent]:
        """Return the reading of the row, if it has one; what is refused is noted in the row."""
        if row.is_missing(self._parameter):
            if not row.is_missing(self._value.bound):
                row.refuse(self._parameter, "does not say what was measured; write it beside the value")
            return ()
        kind = row.take(self._parameter, lambda value: self._kind(row, word_of(value)))
        sent = self._value.read(row, kind, kind.unit) if kind is not None else None
        return () if sent is None else (sent,)

    def _with_unit(self, row: OpenRow, word: str) -> str:
        if self._unit is None:
            return word
        return f"{word}|{'' if row.is_missing(self._unit) else word_of(row.cell(self._unit).value)}"

    def _kind(self, row: OpenRow, word: str) -> ReadingKind:
        written = self._with_unit(row, word)
        kind = self._kinds.get(plain_kind(written))
        if kind is not None:
            return kind
        start = plain_kind(f"{word}|")
        units = [known.partition("|")[2] for known in self._words if plain_kind(known).startswith(start)]
        if self._unit is not None and units:
            written_unit = written.partition("|")[2]
            raise Refused(
                f'is in the unit "{written_unit}", but the mapping knows it in {" or ".join(units)}; correct '
                "it or add it to the mapping's kinds"
            )
        near = self._near.did_you_mean(written) or "."
        raise Refused(
            f"is a word that the mapping does not know{near} Add it to the mapping's kinds or left_out"
        )


def plain_kind(word: str) -> str:
    """Return a word of the parameter's column, with its unit behind a bar, in the form that is compared."""
    return "|".join(plain_word(part) for part in word.split("|"))
