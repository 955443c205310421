"""Which column is the date, and in which order its numbers come: settled by a row, or asked."""

from typing import Any

from service.intake.propose.cell_kinds import Look
from service.intake.propose.draft import Draft, SeenColumn, pointer
from service.intake.propose.schemas import Choice

ORDERS = {"dmy": "day, month, year", "mdy": "month, day, year"}
MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September", "October",
    "November", "December",
)  # fmt: skip
BARE_DATES = {
    "yyyymmdd": "year, month and day without signs: 20250312",
    "serial-1900": "days that a spreadsheet counts from 1900",
    "serial-1904": "days that a spreadsheet counts from 1904",
}
PARTS = {"year": "year_of_date", "month": "month_of_year", "day": "day_of_month"}
WRITTEN = (Look.DATE, Look.NAMED_DATE, Look.REAL_DATE)


def ask_date(draft: Draft, when: dict[str, Any]) -> SeenColumn | None:
    """Put the column of dates into ``when`` and ask what it leaves open; return it, or ``None``."""
    found = draft.that_mean("date")
    parts = {name: draft.that_mean(means)[:1] for name, means in PARTS.items()}
    if all(parts.values()) and not any(column.facts.share(*WRITTEN) > 0.5 for column in found):
        when["date"] = {name: columns[0].take() for name, columns in parts.items()}
        return parts["day"][0]
    if not found:
        _ask_for_column(draft)
        return None
    best = max(found, key=lambda column: (column.facts.share(*WRITTEN) > 0.5, -found.index(column)))
    when["date"] = best.take()
    if len(found) > 1:
        others = [Choice(value=column.ref, text=column.label) for column in found]
        draft.ask("/when/date", best, _which(found), others, needed=False)
    _ask_order(draft, best, when)
    _ask_bare(draft, best)
    _ask_words(draft, best)
    _ask_kind_of_date(draft)
    return best


def _which(found: list[SeenColumn]) -> str:
    names = ", ".join(column.label for column in found)
    return f"{names} look like dates. Which is the day of the visit? The first is taken for now."


def _ask_for_column(draft: Draft) -> None:
    words = [column for column in draft.columns if column.facts.filled and 1 < len(column.facts.words) <= 30]
    choices = [Choice(value=column.ref, text=column.label) for column in words]
    draft.ask(
        "/when/date",
        None,
        "No column of dates was found. Which one says when the water was read? A column of words "
        "(spring, trip 2) "
        "can be named too; then give the day of each word in /when/days.",
        choices,
        write="the name of a column, or its number from 1",
    )


def _ask_order(draft: Draft, column: SeenColumn, when: dict[str, Any]) -> None:
    dates = column.facts.dates
    if not dates.year_last:
        return
    if dates.short_years:
        draft.ask(
            "/when/century",
            column,
            f"{dates.short_years} dates have a year of two digits, such as {dates.example}. Which century?",
            [Choice(value=2000, text="from 2000 on"), Choice(value=1900, text="from 1900 on")],
        )
    day_first, month_first = dates.first_above_12, dates.second_above_12
    if (day_first is None) != (month_first is None):
        settled = day_first or month_first
        assert settled is not None
        row, text = settled
        when["order"] = "dmy" if day_first else "mdy"
        place = "first" if day_first else "second"
        column.remarks.append(
            f"the order is {ORDERS[when['order']]}: in row {row}, {text}, the {place} number is no month"
        )
        return
    told = f"Is {dates.example} {_as_day(dates.example, 'dmy')} or {_as_day(dates.example, 'mdy')}? "
    if day_first and month_first:
        told += (
            f"The dates do not agree: {day_first[1]} in row {day_first[0]} can only begin with the day, "
            f"{month_first[1]} in row {month_first[0]} only with the month. One order is read, the other "
            "rows are refused."
        )
    else:
        told += "In no row is the day above 12, so the sheet itself does not tell."
    choices = [Choice(value=order, text=words) for order, words in ORDERS.items()]
    if dates.short_years:
        choices.append(Choice(value="ymd", text="year, month, day"))
    draft.ask("/when/order", column, told, choices)


def _as_day(text: str, order: str) -> str:
    first, second = (int(part) for part in text.replace("-", "/").replace(".", "/").split("/")[:2])
    day, month = (first, second) if order == "dmy" else (second, first)
    return f"{day} {MONTHS[month - 1]}" if 1 <= month <= 12 else "no day at all"


def _ask_bare(draft: Draft, column: SeenColumn) -> None:
    facts = column.facts
    if facts.share(Look.NUMBER) < 0.1 or facts.low is None or facts.high is None:
        return
    row, text = facts.first[Look.NUMBER]
    if facts.high < 10_000:
        column.remarks.append(f"row {row} has only {text}, perhaps a year; such rows are refused")
        return
    choices = [Choice(value=value, text=words) for value, words in BARE_DATES.items()]
    draft.ask(
        "/when/bare_date",
        column,
        f"Dates are bare numbers, such as {text} in row {row}. What do they mean?",
        choices,
    )


def _ask_words(draft: Draft, column: SeenColumn) -> None:
    if column.facts.share(Look.WORD) > 0.5:
        words: dict[str, str | None] = dict.fromkeys(sorted(column.facts.words))
        told = "Words stand in this column and no dates. On which day was each, as year-month-day?"
        draft.ask(pointer("when", "days"), column, told, fill_in=words)


def _ask_kind_of_date(draft: Draft) -> None:
    """Ask about rows whose day stands for a month or a year, where a column tells."""
    for column in draft.that_mean("date_kind")[:1]:
        words, rules = column.facts.words, draft.mapping.get("only", [])
        listed = ", ".join(f"{word} in {words[word]} rows" for word in sorted(words))
        told = (
            f"It seems to say how exact a date is: {listed}. Which rows hold a real day? The others are left "
            "out."
        )
        choices = [
            Choice(
                value=[*rules, {"column": column.ref, "words": [word], "why": "no day is known"}],
                text=f"those with {word}",
            )
            for word in sorted(words)
        ]
        draft.ask(
            "/only", column, told, [*choices, Choice(value=rules, text="all of them")], needed=len(words) > 1
        )
