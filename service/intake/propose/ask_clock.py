"""Which column is the time of day, and the zone of its clock."""

import re
from typing import Any

from service.intake.propose.by_content import are_bare_dates
from service.intake.propose.cell_kinds import Look
from service.intake.propose.draft import Draft, SeenColumn
from service.intake.propose.facts import NUMBERS
from service.intake.propose.head_words import in_brackets
from service.intake.propose.schemas import Choice

# Common practice: what the letters mean in North America, and the universal ones. Proposed, never taken.
ZONE_WORDS = {
    "PST": "UTC-08:00", "PDT": "UTC-07:00", "MST": "UTC-07:00", "MDT": "UTC-06:00", "CST": "UTC-06:00",
    "CDT": "UTC-05:00", "EST": "UTC-05:00", "EDT": "UTC-04:00", "AKST": "UTC-09:00", "AKDT": "UTC-08:00",
    "HST": "UTC-10:00", "UTC": "UTC", "GMT": "UTC", "Z": "UTC",
}  # fmt: skip
SUMMER_MONTHS = {4, 5, 6, 7, 8, 9, 10}
SITES_OWN = Choice(value="site", text="the clock of the place, with summer time where it has one")


def ask_clock(draft: Draft, when: dict[str, Any], date: SeenColumn | None) -> None:
    """Put the column of times into ``when``, and ask for what it leaves open."""
    found = [column for column in draft.that_mean("time") if _holds_clocks(column)]
    time = found[0] if found else None
    if time is not None:
        when["time"] = time.take()
        _ask_bare_clock(draft, time)
    _ask_for_missing_times(draft, time, date)
    _ask_zone(draft, when, time, date)


def _holds_clocks(column: SeenColumn) -> bool:
    return column.facts.share(Look.CLOCK, Look.REAL_TIME, *NUMBERS) > 0.5


def _ask_bare_clock(draft: Draft, time: SeenColumn) -> None:
    if time.facts.share(*NUMBERS) < 0.1 or Look.NUMBER not in time.facts.first:
        return
    row, text = time.facts.first[Look.NUMBER]
    meant = f"{text[:-2]}:{text[-2:]}" if text.isdigit() and len(text) in (3, 4) else "a time of day"
    if re.fullmatch(r"\d{1,2}\.\d{2}", text, re.ASCII):
        meant = text.replace(".", ":")
    told = f"Times are bare numbers, such as {text} in row {row}. Is that {meant}?"
    draft.ask(
        "/when/bare_clock",
        time,
        told,
        [
            Choice(value=True, text=f"yes, {text} is {meant}"),
            Choice(value=False, text="no; such rows are refused"),
        ],
    )


def _ask_for_missing_times(draft: Draft, time: SeenColumn | None, date: SeenColumn | None) -> None:
    column = time or date
    if time is not None:
        without = time.facts.empty
    elif date is not None and date.facts.clocks_behind:
        without = date.facts.filled - date.facts.clocks_behind
    elif date is not None and are_bare_dates(date.facts) and not date.facts.whole:
        without = 0  # the part behind the point is the time
    else:
        without = len(draft.rows)
    if not without or column is None:
        return
    draft.ask(
        "/when/assumed_time",
        column,
        f"{without} of {len(draft.rows)} rows say no time of day. Which is taken for them, and noted so? "
        "Without one, "
        "these rows are refused.",
        [Choice(value=None, text="none: refuse these rows")],
        write="a time such as 10:00",
        needed=without == len(draft.rows),
    )


def _ask_zone(draft: Draft, when: dict[str, Any], time: SeenColumn | None, date: SeenColumn | None) -> None:
    column = time or date
    zone_column = next(iter(draft.that_mean("zone")), None)
    if zone_column is not None:
        _ask_zone_words(draft, when, zone_column)
        return
    written = sorted({zone for one in (time, date) if one for zone in one.facts.zones})
    choices = [SITES_OWN]
    told = "The sheet does not say which time zone its clock showed. Which was it?"
    said = next((word for one in (time, date) if one and (word := _said_in_head(one))), "")
    if written:
        told = f"Behind the times stands {', '.join(written)}. Does that hold, or was it added by a program?"
        choices = [Choice(value="written", text="what is written holds"), SITES_OWN]
        known = {word: ZONE_WORDS.get(word) for word in written if word.isalpha() and word != "Z"}
        if known:
            choices[0] = Choice(value={"values": known}, text="the letters mean these offsets")
    elif said:
        choices.insert(0, Choice(value=ZONE_WORDS[said], text=f"{ZONE_WORDS[said]}, which {said} stands for"))
        told = f"The head says {said}, which stands for {ZONE_WORDS[said]}. Did the clock show that?"
        if said.endswith("ST") and date is not None and date.facts.months & SUMMER_MONTHS:
            told += " There are dates in summer, when clocks of that region show daylight time."
    draft.ask(
        "/when/zone",
        column,
        told,
        choices,
        write="a zone such as America/New_York, or an offset such as UTC-05:00",
    )


def _said_in_head(column: SeenColumn) -> str:
    words = [in_brackets(column.name), *column.name.replace(".", " ").replace("_", " ").split()]
    return next((word.upper() for word in words if word.upper() in ZONE_WORDS), "")


def _ask_zone_words(draft: Draft, when: dict[str, Any], column: SeenColumn) -> None:
    words: dict[str, str | None] = {word: ZONE_WORDS.get(word.upper()) for word in sorted(column.facts.words)}
    when["zone"] = {"column": column.take()}
    told = "Which offset from UTC do these letters mean? They stand for different zones in different places."
    draft.ask("/when/zone/values", column, told, fill_in=words)
