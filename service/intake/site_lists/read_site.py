"""From one row of a list to the body of a site, or to all that is wrong with it."""

import re
from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from typing import Any

from pydantic import ValidationError

from service.core.http_errors import in_plain_words
from service.core.schema import CODE_PATTERN
from service.intake.mapping.bodies.columns import Coded
from service.intake.mapping.cell_problem import CellProblem, Refused
from service.intake.mapping.readers.coded import CodedReader, MeasuredReader
from service.intake.mapping.readers.head import Bound, Head
from service.intake.mapping.readers.only import OnlyRule
from service.intake.mapping.readers.open_row import MissingMarks, OpenRow
from service.intake.mapping.written.dates import DateRule, read_date
from service.intake.mapping.written.numbers import NumberRule
from service.intake.mapping.written.words import word_of
from service.intake.sheets.cell import Row, Value
from service.intake.site_lists.mapping import DayMapping, SiteListMapping
from service.intake.site_lists.place import PlaceReader
from service.sites.schemas import SiteBody

NO_CODE = "has no code, so it is no site of the network; give it one, or leave such rows out by the mapping"
CUT_CODE = (
    "has {digits} digits, and a hydrologic unit code an even number of them: a spreadsheet has taken it as a "
    "number and dropped the zero before it. Write it as text, with its zero"
)
CODES = ("school", "stream")


@dataclass(frozen=True, slots=True)
class ListedSite:
    """A row as its mapping reads it: the body of a site, or problems, or left out with its why."""

    number: int
    code: str = ""
    body: SiteBody | None = None
    problems: tuple[CellProblem, ...] = ()
    remarks: tuple[CellProblem, ...] = ()
    left_out: str = ""


class SiteReader:
    """A mapping made ready for one sheet."""

    def __init__(self, mapping: SiteListMapping, head: Head, school: str | None) -> None:
        rule = NumberRule(mapping.file.decimal, mapping.file.thousands)
        self._missing = MissingMarks(mapping.file.missing)
        self._only = [OnlyRule(only, head, rule) for only in mapping.only]
        self._code = CodedReader(mapping.code, head)
        self._sign = mapping.code_sign
        words = {name: getattr(mapping, name) for name in ("name", "stream", "water_class", "time_zone")}
        words["school"] = mapping.school or Coded(value=school or "")
        self._words = {name: CodedReader(word, head) for name, word in words.items() if word is not None}
        numbers = {"stream_km": mapping.stream_km, "elevation_m": mapping.elevation_m}
        self._numbers = {name: MeasuredReader(one, head, rule) for name, one in numbers.items() if one}
        self._place = PlaceReader(mapping.place, head, rule) if mapping.place else None
        self._scheme = mapping.watershed.scheme if mapping.watershed else ""
        self._watershed = head.find(mapping.watershed.code) if mapping.watershed else None
        self._day = mapping.established_on
        self._day_bound = head.find(self._day.column) if self._day else None
        self._bounds = self._named()

    def read(self, row: Row) -> ListedSite:
        """Return the row as the mapping reads it, with all its problems at once."""
        opened = OpenRow(row, self._missing)
        for rule in self._only:
            if why := rule.leaves_out(opened):
                return ListedSite(row.number, left_out=why)
        code = self._code_of(opened)
        fields: dict[str, Any] = {"code": code}
        for name, reader in self._words.items():
            word = reader.read(opened)
            fields[name] = word.lower() if name in CODES else word
        fields |= {name: reader.read(opened) for name, reader in self._numbers.items()}
        if self._place and (place := self._place.read(opened)):
            fields |= {"latitude": place.latitude, "longitude": place.longitude}
        if self._watershed and (watershed := opened.take(self._watershed, self._watershed_code)):
            fields["watershed"] = {"scheme": self._scheme, "code": watershed}
        if self._day and self._day_bound and (day := opened.take(self._day_bound, self._first_day)):
            fields["established_on"] = day.isoformat()
        body = None if opened.problems else self._judged(opened, fields)
        return ListedSite(row.number, code, body, opened.all_problems(), tuple(opened.remarks))

    def _named(self) -> dict[str, Bound | None]:
        readers: dict[str, CodedReader | MeasuredReader]
        readers = {"code": self._code, **self._words, **self._numbers}
        found: dict[str, Bound | None] = {name: reader.bound for name, reader in readers.items()}
        places = self._place.bounds if self._place else {}
        return found | places | {"watershed": self._watershed, "established_on": self._day_bound}

    def _code_of(self, row: OpenRow) -> str:
        before, bound = len(row.problems), self._code.bound
        assert bound is not None
        code = written = self._code.read(row).lower()
        if self._sign:
            code = re.sub(r"[^a-z0-9_-]+", self._sign, written).strip(self._sign)
        if len(row.problems) > before:
            return ""
        if not written:
            row.refuse(bound, NO_CODE)
            return ""
        if not re.fullmatch(CODE_PATTERN, code):
            row.refuse(
                bound,
                "can be no code: a code has at most 48 letters a to z, digits, hyphens and underscores. Say "
                "in the mapping's values which code it means, or in code_sign what stands for other signs",
            )
            return ""
        if code != written:
            row.remark(bound, written, f"became the code {code}")
        return code

    def _watershed_code(self, value: Value) -> str:
        code = word_of(value)
        if self._scheme == "huc" and code.isdecimal() and len(code) % 2:
            raise Refused(CUT_CODE.format(digits=len(code)))
        return code

    def _first_day(self, value: Value) -> date:
        day = self._day or DayMapping(column=1)
        if day.range_sign and isinstance(value, str):
            value = value.split(day.range_sign)[0].strip()
        return read_date(value, DateRule(day.order, day.century, day.bare_date)).day

    def _judged(self, row: OpenRow, fields: dict[str, Any]) -> SiteBody | None:
        written = {name: value for name, value in fields.items() if value not in (None, "")}
        try:
            return SiteBody.model_validate(written)
        except ValidationError as error:
            for one in error.errors(include_url=False):
                name, told = str(one["loc"][0]) if one["loc"] else "", in_plain_words(dict(one))
                bound = self._bounds.get(name)
                row.refuse(bound, told if bound or not name else f"{name} {told}")
            return None


class _Asked(Head):
    """A head row that has every column, and keeps what it was asked for."""

    def __init__(self) -> None:
        super().__init__(Row(1, ()))
        self.columns: list[str | int] = []

    def find(self, column: str | int) -> Bound:
        self.columns.append(column)
        return Bound(0, "")


def named_columns(mapping: SiteListMapping) -> Collection[str | int]:
    """Return every column that a mapping names, in the order in which it is read."""
    head = _Asked()
    SiteReader(mapping, head, None)
    return list(dict.fromkeys(head.columns))
