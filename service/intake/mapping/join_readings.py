"""Joins the readings of the rows of one visit, repeats numbered."""

from collections import Counter, defaultdict
from collections.abc import Sequence
from typing import Any

from service.intake.mapping.assembled import SPLIT, Assembled, Origin
from service.intake.mapping.part import Part

MOST_READINGS, MOST_REPEATS = 100, 50


def join_readings(made: Assembled, parts: Sequence[Part]) -> list[dict[str, Any]]:
    """Return the readings of all rows in order; their origins and what is wrong are noted in ``made``.

    A parameter that was read more than once has its repeats numbered: by the sheet where it does so, else in
    the order of the rows.
    """
    sent = [(Origin(part.row, one.column), one.content) for part in parts for one in part.readings]
    repeats = Counter(reading["parameter"] for _, reading in sent)
    taken = _numbered(made, sent)
    readings = []
    for position, (origin, reading) in enumerate(sent):
        parameter = reading["parameter"]
        if repeats[parameter] > 1 and "replicate" not in reading:
            number = next(number for number in range(1, len(sent) + 1) if number not in taken[parameter])
            taken[parameter].add(number)
            readings.append({**reading, "replicate": number})
        else:
            readings.append(reading)
        made.origins[f"/readings/{position}"] = origin
    _require_few(made, Origin(parts[0].row), repeats)
    return readings


def _numbered(made: Assembled, sent: Sequence[tuple[Origin, dict[str, Any]]]) -> defaultdict[str, set[int]]:
    """Return the numbers that the sheet gives to the repeats of each parameter; each may come once."""
    first: dict[tuple[str, int], Origin] = {}
    taken: defaultdict[str, set[int]] = defaultdict(set)
    for origin, reading in sent:
        if "replicate" not in reading:
            continue
        name = (reading["parameter"], reading["replicate"])
        taken[name[0]].add(name[1])
        earlier = first.setdefault(name, origin)
        if earlier is not origin:
            told = f"row {earlier.row} of the same visit has repeat {name[1]} of it too; number them anew"
            made.refuse(origin, str(reading["value"]), told)
    return taken


def _require_few(made: Assembled, origin: Origin, repeats: Counter[str]) -> None:
    parameter, most = repeats.most_common(1)[0] if repeats else ("", 0)
    if most > MOST_REPEATS:
        told = (
            f"{most} readings of {parameter} at one site and time, and {MOST_REPEATS} are the most; {SPLIT}"
        )
        made.refuse(origin, "", told)
    elif repeats.total() > MOST_READINGS:
        told = f"{repeats.total()} readings at one site and time, and {MOST_READINGS} are the most; {SPLIT}"
        made.refuse(origin, "", told)
