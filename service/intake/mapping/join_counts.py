"""Joins the animals of the rows of one visit: finds of one kind and stage are added."""

from collections.abc import Sequence
from typing import Any

from service.intake.mapping.assembled import SPLIT, Assembled, Origin
from service.intake.mapping.part import Part, Sent
from service.intake.mapping.written.words import plain_word

MOST_LINES = 300
FOUND = "P"


def join_counts(made: Assembled, parts: Sequence[Part]) -> list[dict[str, Any]]:
    """Return one line for each animal and stage; origins and what is to be said are noted in ``made``.

    Names are joined as written (capitals and blanks aside): two names of one animal stay two lines.
    """
    lines: dict[tuple[str, str], tuple[dict[str, Any], Origin]] = {}
    for part in parts:
        for one in part.counts:
            name = (plain_word(one.content["taxon"]), one.content.get("life_stage", ""))
            if name in lines:
                _add(made, *lines[name], one, Origin(part.row, one.column))
            else:
                lines[name] = (dict(one.content), Origin(part.row, one.column))
    for position, (_, origin) in enumerate(lines.values()):
        made.origins[f"/catch/counts/{position}"] = origin
    if len(lines) > MOST_LINES:
        told = f"{len(lines)} kinds of animals in one catch, and {MOST_LINES} are the most; {SPLIT}"
        made.refuse(Origin(parts[0].row), "", told)
    return [line for line, _ in lines.values()]


def _add(made: Assembled, line: dict[str, Any], first: Origin, more: Sent, origin: Origin) -> None:
    name = more.content["taxon"]
    if line.get("abundance") == more.content.get("abundance") == FOUND:
        made.remark(origin, name, f"found in row {first.row} of the same visit too: one find")
        return
    if "abundance" in line:
        told = f"row {first.row} of the same visit has a letter for this animal too; give one letter for both"
        made.refuse(origin, name, told)
        return
    line["count"] += more.content["count"]
    told = f"{more.content['count']} more of the animal of row {first.row}: added, {line['count']} together"
    made.remark(origin, name, told)
