"""The report on the quality of the readings: how many are usable, how many alarms were false, how precise."""

import math
from collections import Counter, defaultdict
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from uuid import UUID

from sqlmodel import Session

from service.review.quality.answers import LastDigitRow, QualityReport, ReadingCounts
from service.review.quality.periods import Period, first_day
from service.review.quality.queries import COUNTS, Rows, compared_readings, reading_counts, written_values
from service.review.quality.repeats import duplicate_rows, kit_against_meter_rows, measured
from service.science.precision import completeness
from service.science.types import Kit
from service.sites.keep_kit import find_kits
from service.visits.question import Question
from service.visits.tables import State

HANDED_IN = (State.HELD, State.RELEASED, State.REJECTED)
LAST_DIGIT_STEP = 0.2
LAST_DIGIT_SHARE_DUE = 0.2  # of 0 2 4 6 8, each one in five
LAST_DIGIT_VISITS = 20


def quality_report(
    session: Session, question: Question, period: Period, parameter: str | None
) -> QualityReport:
    """Return the report for the visits of a question; rejected ones count where alarms are counted."""
    counts = reading_counts(session, replace(question, states=HANDED_IN), parameter)
    compared = compared_readings(session, replace(question, kind=None), parameter)
    codes = {row["kit"] for row in counts if row["kit"]} | {row.kit for row, _ in compared if row.kit}
    kits = find_kits(session, codes)
    readings = measured(compared, kits)
    return QualityReport(
        period=period,
        readings=_reading_counts(counts, period),
        duplicates=duplicate_rows(readings),
        kit_against_meter=kit_against_meter_rows(readings),
        last_digits=_last_digits(session, question, kits),
    )


def _reading_counts(rows: Rows, period: Period) -> list[ReadingCounts]:
    counted: defaultdict[tuple[date, str, str, str], Counter[str]] = defaultdict(Counter)
    for row in rows:
        begins = first_day(int(row["year"]), int(row["month"]), period)
        key = begins, row["school"], row["parameter"], row["kit"] or ""
        counted[key].update({name: int(row[name]) for name in COUNTS})
    return [_counts(*key, found) for key, found in sorted(counted.items())]


def _counts(begins: date, school: str, parameter: str, kit: str, found: Mapping[str, int]) -> ReadingCounts:
    evaluated = found["evaluated"]
    return ReadingCounts(
        begins=begins,
        school=school,
        parameter=parameter,
        kit=kit or None,
        **{name: found[name] for name in COUNTS},
        share_flagged=found["flagged"] / evaluated if evaluated else None,
        share_dismissed=found["dismissed"] / evaluated if evaluated else None,
        completeness_percent=completeness(found["usable"], found["readings"]),
    )


def _last_digits(session: Session, question: Question, kits: Mapping[str, Kit]) -> list[LastDigitRow]:
    even = {code for code, kit in kits.items() if kit.step and math.isclose(kit.step, LAST_DIGIT_STEP)}
    digits: defaultdict[tuple[str, str], list[int]] = defaultdict(list)
    visits: defaultdict[tuple[str, str], set[UUID]] = defaultdict(set)
    for row in written_values(session, question, even):
        if row["written_unit"] == kits[row["kit"]].unit:
            key = row["school"], row["kit"]
            digits[key].append(round(row["written_value"] * 10) % 10)
            visits[key].add(row["visit_id"])
    return [
        LastDigitRow(
            school=school,
            kit=kit,
            visits=len(visits[school, kit]),
            readings=len(found),
            share_0_or_5=sum(digit in {0, 5} for digit in found) / len(found),
            expected_share=LAST_DIGIT_SHARE_DUE,
        )
        for (school, kit), found in sorted(digits.items())
        if len(visits[school, kit]) >= LAST_DIGIT_VISITS
    ]
