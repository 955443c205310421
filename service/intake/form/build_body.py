"""From what was typed to the body of a visit; whatever cannot be taken is asked beside its field."""

import re
from collections.abc import Mapping, Sequence
from functools import partial
from typing import Any

from pydantic import ValidationError

from service.intake.field_order import NO, YES
from service.intake.form.draft import Draft, broken_rules
from service.intake.form.fields import UNIT, ReadingField, name_of
from service.intake.form.typed_number import Ask, typed_limit, typed_number, typed_whole
from service.intake.form.typed_time import FOLD, AskWhich, instant_at, typed_clock, typed_day
from service.visits.schemas import VisitBody

MOST_ROWS = 300
NONE_FOUND = "none_found"
CONDITIONS = {
    "weather": "weather",
    "rain_48h_mm": "rain_48h_mm",
    "flow": "flow",
    "ice": "ice",
    "air_temperature": "air_temperature_c",
}
NET_NUMBERS = ("minutes", "area_m2", "mesh_um", "sorted_share")
LETTERS, COUNTS = "rcd-1-10-100", "counts"


def build_body(draft: Draft, readings: Sequence[ReadingField], zone: str) -> VisitBody | None:
    """Return the visit that was typed, or ``None`` where something has to be asked first."""
    number = partial(typed_number, comma=draft.comma)
    _put(draft, {"visit_id": "visit_id", "site": "site", "kind": "kind", "team": "team", "notes": "notes"})
    _when(draft, zone)
    _conditions(draft)
    undisturbed = _yes_no(draft, "undisturbed_water")
    draft.body["readings"] = []
    for one in readings:
        _reading(draft, one, {} if undisturbed is None else {"undisturbed_water": undisturbed})
    _catch(draft)
    for name in NET_NUMBERS if "catch" in draft.body else ():
        _keep(draft, f"/catch/{name}", name, draft.take(name, number))
    if draft.asked:
        return None
    try:
        return VisitBody.model_validate(draft.body)
    except ValidationError as error:
        draft.refuse(broken_rules(error))
        return None


def _keep(draft: Draft, pointer: str, name: str, value: object) -> None:
    """Put a value that is there into the body, and remember its field."""
    draft.origins[pointer] = name
    if value is None:
        return
    *parents, last = pointer.split("/")[1:]
    place: Any = draft.body
    for parent in parents:
        place = place[int(parent)] if isinstance(place, list) else place.setdefault(parent, {})
    place[last] = value


def _put(draft: Draft, names: Mapping[str, str]) -> None:
    for name, key in names.items():
        _keep(draft, f"/{key}", name, draft.text(name) or None)


def _when(draft: Draft, zone: str) -> None:
    for name, told in (("date", "On which day were you at the creek?"), ("time", "When did you begin?")):
        if not draft.text(name):
            draft.ask(name, f"{told} Fill this in.")
    on, clock = draft.take("date", typed_day), draft.take("time", typed_clock)
    draft.origins["/observed_at"] = "time"
    if on is not None and clock is not None:
        try:
            draft.body["observed_at"] = instant_at(on, clock, zone, draft.text(FOLD)).isoformat()
        except AskWhich as question:
            draft.ask(FOLD, question.message)
        except Ask as question:
            draft.ask("time", question.message)


def _conditions(draft: Draft) -> None:
    number = partial(typed_number, comma=draft.comma)
    for name, key in CONDITIONS.items():
        is_number = name in {"rain_48h_mm", "air_temperature"}
        value = draft.take(name, number) if is_number else draft.text(name) or None
        _keep(draft, f"/conditions/{key}", name, value)
    if "dead_fish" in draft.typed:
        _keep(draft, "/conditions/dead_fish", "dead_fish", True)


def _yes_no(draft: Draft, name: str) -> bool | None:
    return {YES: True, NO: False}.get(draft.text(name))


def _reading(draft: Draft, one: ReadingField, more: Mapping[str, object]) -> None:
    parts = [("value", "mark")] + [("again", "again_mark")] * bool(
        draft.text(name_of(one.parameter, "again"))
    )
    for replicate, (part, mark) in enumerate(parts, 1):
        name = name_of(one.parameter, part)
        typed = draft.text(name)
        if not typed:
            if draft.text(name_of(one.parameter, mark)) and part == "value":
                draft.ask(name, "Type the end of the scale beside the sign, such as 0.5 for < 0.5.")
            continue
        if one.line is None and not one.chosen.startswith(UNIT):
            draft.ask(name_of(one.parameter, "kit"), f"There is no kit {one.chosen}. Choose one of the list.")
        pointer = f"/readings/{len(draft.body['readings'])}"
        chosen = draft.text(name_of(one.parameter, mark))
        found = draft.take(name, partial(typed_limit, mark=chosen, comma=draft.comma))
        reading: dict[str, object] = {"parameter": one.parameter, "procedure": dict(more)}
        reading |= {"value": found[0], "censored": found[1]} if found else {"value": None}
        reading |= _kit(one) | ({"replicate": replicate} if len(parts) > 1 else {})
        draft.body["readings"].append(reading)
        draft.origins[pointer] = name
        draft.origins[f"{pointer}/kit"] = draft.origins[f"{pointer}/unit"] = name_of(one.parameter, "kit")
        _procedure(draft, one, pointer)


def _kit(one: ReadingField) -> dict[str, object]:
    if one.line is not None:
        return {"kit": one.chosen, "unit": one.line.kit.unit}
    return {"unit": one.chosen.removeprefix(UNIT)}


def _procedure(draft: Draft, one: ReadingField, pointer: str) -> None:
    number = partial(typed_number, comma=draft.comma)
    for asked in one.beside:
        name = name_of(one.parameter, asked.field)
        if asked.choices:
            value: object = _yes_no(draft, name)
        else:
            value = draft.take(name, typed_whole if asked.field == "tablets" else number)
        _keep(draft, f"{pointer}/procedure/{asked.field}", name, value)


def animal_rows(typed: Mapping[str, str]) -> int:
    """Return how many rows for animals a form that was sent has."""
    numbers = [
        int(found[1]) for name in typed if (found := re.fullmatch(r"a-(\d{1,3})-taxon", name, re.ASCII))
    ]
    return min(max(numbers, default=-1) + 1, MOST_ROWS)


def _catch(draft: Draft) -> None:
    lines: list[dict[str, object]] = []
    for row in range(animal_rows(draft.typed)):
        taxon, count = draft.text(f"a-{row}-taxon"), draft.text(f"a-{row}-count")
        if not taxon and not count:
            continue
        if not taxon:
            draft.ask(f"a-{row}-taxon", "Which animal was counted here?")
        if not count:
            draft.ask(f"a-{row}-count", "How many were there? 0 where you looked and found none.")
        for part in ("taxon", "count", "life_stage"):
            draft.origins[f"/catch/counts/{len(lines)}/{part}"] = f"a-{row}-{part}"
        draft.origins[f"/catch/counts/{len(lines)}"] = f"a-{row}-taxon"
        draft.origins[f"/catch/counts/{len(lines)}/abundance"] = f"a-{row}-count"
        stage = draft.text(f"a-{row}-life_stage")
        lines.append(
            {"taxon": taxon} | _counted(draft, f"a-{row}-count") | ({"life_stage": stage} if stage else {})
        )
    if not lines and NONE_FOUND not in draft.typed:
        return
    if lines and NONE_FOUND in draft.typed:
        draft.ask(NONE_FOUND, "Animals are counted below, so take this tick away.")
    letters = [line for line in lines if "abundance" in line]
    if letters and any("count" in line for line in lines):
        draft.ask("a-0-count", "Some animals have numbers and some letters. Write one or the other for all.")
    draft.body["catch"] = {"count_scheme": LETTERS if letters else COUNTS, "counts": lines}
    draft.origins["/catch"] = "a-0-taxon"
    _keep(draft, "/catch/gear", "gear", draft.text("gear") or None)
    _keep(draft, "/catch/jabs", "jabs", draft.take("jabs", typed_whole))


def _counted(draft: Draft, name: str) -> dict[str, object]:
    text = draft.text(name).upper()
    if text in {"R", "C", "D"}:
        return {"abundance": text}
    count = draft.take(name, typed_whole)
    return {} if count is None else {"count": count}
