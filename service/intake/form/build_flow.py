"""From what was typed to a gauging and to two bottles of oxygen, for those visits that have them."""

from collections.abc import Callable, Sequence
from functools import partial
from typing import Any

from service.intake.form.draft import Draft
from service.intake.form.flow_fields import BED, BOTTLES, TIMES, TRANSECTS, WAY, Named, vertical
from service.intake.form.typed_number import typed_number
from service.visits.gauging_body import MOST_VERTICALS

LEAST_TIMES = 3
ONE_WAY = "Floats and a current meter are both filled in, and a visit has one gauging. Empty one of the two."


def build_flow(draft: Draft) -> None:
    """Put the gauging and the bottles that were typed into the body; ask for what one of them lacks."""
    number = partial(typed_number, comma=draft.comma)
    floats, verticals = _has_floats(draft), vertical_rows(draft)
    if floats and verticals:
        draft.ask(WAY[0][0], ONE_WAY)
    elif floats:
        draft.body["gauging"] = {"method": "float"} | _floats(draft, number)
        draft.origins["/gauging"] = WAY[0][0]
    elif verticals:
        rows = [_vertical(draft, place, row, number) for place, row in enumerate(verticals)]
        draft.body["gauging"] = {"method": "mid-section", "verticals": rows}
        draft.origins["/gauging"] = vertical(verticals[0])[0][0]
    if any(draft.text(name) for name, _ in BOTTLES):
        for name, _ in BOTTLES:
            draft.put(f"/bottles/{name.removeprefix('b-')}", name, draft.take(name, number))
        draft.origins["/bottles"] = BOTTLES[0][0]


def vertical_rows(draft: Draft) -> Sequence[int]:
    """Return the rows of places across the stream in which something was typed."""
    return [row for row in range(MOST_VERTICALS) if any(draft.text(name) for name, _ in vertical(row))]


def _has_floats(draft: Draft) -> bool:
    names = [name for named in ((BED,), WAY, TIMES, *TRANSECTS) for name, _ in named]
    return any(draft.text(name) for name in names)


def _floats(draft: Draft, number: Callable[[str], float]) -> dict[str, Any]:
    ((way, _),) = WAY
    if not draft.text(way):
        draft.ask(way, "How many metres did the floats go while you timed them?")
    if not draft.text(BED[0]):
        draft.ask(BED[0], "What is the bed made of? It decides how much slower the water is below.")
    times = [name for name, _ in TIMES if draft.text(name)]
    if len(times) < LEAST_TIMES:
        empty = next(name for name, _ in TIMES if not draft.text(name))
        draft.ask(empty, "Time three floats or more, and write the seconds of each.")
    for place, name in enumerate(times):
        draft.origins[f"/gauging/times_s/{place}"] = name
    draft.origins |= {"/gauging/length_m": way, "/gauging/bottom": BED[0]}
    return {
        "length_m": draft.take(way, number),
        "times_s": [draft.take(name, number) for name in times],
        "bottom": draft.text(BED[0]),
        "transects": _transects(draft, number),
    }


def _transects(draft: Draft, number: Callable[[str], float]) -> list[dict[str, Any]]:
    first, *more = TRANSECTS
    found: list[dict[str, Any]] = []
    for transect in (first, *(one for one in more if any(draft.text(name) for name, _ in one))):
        _ask_for_empty(draft, transect, "Write the width of the water and its depth at three places.")
        (width, _), *depths = transect
        pointer = f"/gauging/transects/{len(found)}"
        draft.origins |= {pointer: width, f"{pointer}/width_m": width}
        draft.origins |= {f"{pointer}/depths_m/{place}": name for place, (name, _) in enumerate(depths)}
        taken = [draft.take(name, number) for name, _ in depths]
        found.append({"width_m": draft.take(width, number), "depths_m": taken})
    return found


def _vertical(draft: Draft, place: int, row: int, number: Callable[[str], float]) -> dict[str, Any]:
    _ask_for_empty(draft, vertical(row), "Write distance, depth and speed of each place; 0 at the banks.")
    taken = {}
    for name, _ in vertical(row):
        field = name.rpartition("-")[2]
        draft.origins[f"/gauging/verticals/{place}/{field}"] = name
        taken[field] = draft.take(name, number)
    return taken


def _ask_for_empty(draft: Draft, fields: Named, told: str) -> None:
    for name, _ in fields:
        if not draft.text(name):
            draft.ask(name, told)
