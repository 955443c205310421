"""Reads the weather, the stream and the notes of a row."""

import unicodedata

from service.intake.mapping.cell_problem import Refused
from service.intake.mapping.part import Sent
from service.intake.mapping.readers.coded import CodedReader, MeasuredReader, words_of
from service.intake.mapping.readers.head import Head
from service.intake.mapping.readers.open_row import OpenRow
from service.intake.mapping.schemas import ConditionsMapping, NoteColumn
from service.intake.mapping.written.numbers import NumberRule
from service.intake.mapping.written.words import word_of
from service.intake.sheets.cell import Value
from service.science.units import convert
from service.visits.schemas import Flow, Ice, Weather


class ConditionsReader:
    """Reads what the weather and the stream were like."""

    def __init__(self, body: ConditionsMapping, head: Head, rule: NumberRule) -> None:
        self._air_unit = body.air_temperature_unit
        self._air = MeasuredReader(body.air_temperature, head, rule) if body.air_temperature else None
        self._rain = MeasuredReader(body.rain_48h_mm, head, rule) if body.rain_48h_mm else None
        listed = {
            "weather": (body.weather, words_of(Weather)),
            "flow": (body.flow, words_of(Flow)),
            "ice": (body.ice, words_of(Ice)),
            "dead_fish": (body.dead_fish, ("yes", "no")),
        }
        self._coded = {
            name: CodedReader(coded, head, words)
            for name, (coded, words) in listed.items()
            if coded is not None
        }

    def read(self, row: OpenRow) -> dict[str, Sent]:
        """Return the facts that the row gives, by their names in the body."""
        facts: dict[str, Sent] = {}
        if self._air is not None and (air := self._air.read(row)) is not None:
            facts["air_temperature_c"] = Sent(convert(air, self._air_unit, "degC"), self._air.label)
        if self._rain is not None and (rain := self._rain.read(row)) is not None:
            facts["rain_48h_mm"] = Sent(rain, self._rain.label)
        for name, reader in self._coded.items():
            word = reader.read(row)
            if word:
                facts[name] = Sent(word == "yes" if name == "dead_fish" else word, reader.label)
        return facts


class NotesReader:
    """Reads the columns that go into the private notes."""

    def __init__(self, columns: list[NoteColumn], head: Head) -> None:
        self._columns = [(head.find(column.column), column.word) for column in columns]

    def read(self, row: OpenRow) -> list[Sent]:
        """Return a line for each column that is not empty."""
        found = ((bound, word, row.take(bound, _text)) for bound, word in self._columns)
        return [Sent(f"{word}: {text}", bound.label) for bound, word, text in found if text]


def _text(value: Value) -> str:
    text = word_of(value)
    if any(unicodedata.category(letter) == "Cc" and letter not in "\r\n\t" for letter in text):
        raise Refused("holds a character that cannot be seen; type it anew, do not paste it")
    return text
