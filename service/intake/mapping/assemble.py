"""From the rows of one visit to the body that is handed in, with a way back from a pointer to a row."""

from collections.abc import Callable, Mapping, Sequence
from datetime import datetime, timedelta, timezone
from typing import Any

from service.intake.mapping.assembled import Assembled, Origin
from service.intake.mapping.join_counts import join_counts
from service.intake.mapping.join_readings import join_readings
from service.intake.mapping.part import Part, Sent, VisitKey
from service.science.types import VisitKind

LONGEST_NOTES = 2000
OR_APART = "correct one, or name in the mapping the columns that tell visits apart (apart)"

ALIKE = (
    "says exactly what row {row} of the same visit says, and is taken as read once more; if it "
    "was pasted twice, delete it and send the file again with revise=true"
)
NOTHING_BUT_WORDS = (
    "holds remarks or conditions, but no reading and no animal; where a remark holds a number that was read, "
    "write it into its own column, else leave the row out"
)


def assemble(key: VisitKey, parts: Sequence[Part]) -> Assembled:
    """Return the body of `POST /v1/visits` that the rows of one visit make, without a visit_id.

    Parameters
    ----------
    key : the visit
    parts : what its rows add, in the order of the rows; at least one
    """
    first = parts[0]
    made = Assembled({"site": key.site, "observed_at": local_time(key)}, origins={"": Origin(first.row)})
    made.origins.update((f"/{name}", Origin(first.row, column)) for name, column in first.heads.items())
    if key.team:
        made.body["team"] = key.team
    if key.kind != VisitKind.ROUTINE:
        made.body["kind"] = key.kind
    made.body["readings"] = join_readings(made, parts)
    if any(part.catch is not None for part in parts):
        caught = _agreed(made, parts, "/catch", lambda part: part.catch or {})
        made.body["catch"] = {**caught, "counts": join_counts(made, parts)}
    if not (made.body["readings"] or "catch" in made.body):
        made.refuse(Origin(first.row), "", NOTHING_BUT_WORDS)
    conditions = _agreed(made, parts, "/conditions", lambda part: part.conditions)
    if conditions:
        made.body["conditions"] = conditions
    _add_notes(made, parts)
    _remark_on_rows_alike(made, parts)
    return made


def local_time(key: VisitKey) -> str:
    """Return the instant of a visit as its clock showed it, with the offset."""
    size = timedelta(hours=int(key.offset[1:3]), minutes=int(key.offset[4:6]))
    zone = timezone(-size if key.offset.startswith("-") else size)
    return datetime.fromisoformat(key.instant.replace("Z", "+00:00")).astimezone(zone).isoformat()


def _agreed(
    made: Assembled, parts: Sequence[Part], place: str, facts: Callable[[Part], Mapping[str, Sent]]
) -> dict[str, Any]:
    """Return the single facts of a visit; two rows that say different things are a problem of the later."""
    agreed: dict[str, Any] = {}
    for part in parts:
        for name, (content, column) in facts(part).items():
            pointer = f"{place}/{name}"
            if name not in agreed:
                agreed[name] = content
                made.origins[pointer] = Origin(part.row, column)
            elif agreed[name] != content:
                earlier = made.origins[pointer].row
                told = f"row {earlier} of the same visit says {agreed[name]}, this one {content}; {OR_APART}"
                made.refuse(Origin(part.row, column), str(content), told)
    return agreed


def _remark_on_rows_alike(made: Assembled, parts: Sequence[Part]) -> None:
    """Say of a row that it adds exactly what an earlier one does: it may have been pasted twice."""
    first: dict[str, int] = {}
    for part in parts if len(parts) > 1 else ():
        if part.readings and not part.counts:  # of counts each is told where it is added
            earlier = first.setdefault(repr(part.readings), part.row)
            if earlier != part.row:
                made.remark(Origin(part.row), "", ALIKE.format(row=earlier))


def _add_notes(made: Assembled, parts: Sequence[Part]) -> None:
    assumed = next((part for part in parts if part.assumed_time), None)
    sent = [(part.row, one) for part in parts for one in part.notes]
    lines = [f"time of day not noted; {assumed.assumed_time} taken"] if assumed else []
    lines += [one.content for _, one in sent]
    if not lines:
        return
    origin = Origin(sent[0][0], sent[0][1].column) if sent else Origin(parts[0].row)
    notes = "\n".join(dict.fromkeys(lines))
    made.body["notes"], made.origins["/notes"] = notes, origin
    if len(notes) > LONGEST_NOTES:
        made.refuse(
            origin,
            notes,
            f"the notes of this visit have {len(notes)} letters, and {LONGEST_NOTES} are the most; shorten "
            "them, or leave the column out of the mapping's notes",
        )
