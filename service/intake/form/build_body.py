"""From what was typed to the body of a visit; whatever cannot be taken is asked beside its field."""

from collections.abc import Mapping, Sequence
from functools import partial

from pydantic import ValidationError

from service.intake.field_order import NO, YES, Kind
from service.intake.form.build_catch import build_catch
from service.intake.form.build_flow import build_flow
from service.intake.form.draft import Draft, broken_rules
from service.intake.form.fields import UNIT, ReadingField, name_of
from service.intake.form.typed_number import Ask, typed_limit, typed_number, typed_whole
from service.intake.form.typed_time import FOLD, AskWhich, instant_at, typed_clock, typed_day
from service.visits.schemas import VisitBody

CONDITIONS = {
    "weather": "weather",
    "rain_48h_mm": "rain_48h_mm",
    "flow": "flow",
    "ice": "ice",
    "air_temperature": "air_temperature_c",
}


def build_body(draft: Draft, readings: Sequence[ReadingField], zone: str) -> VisitBody | None:
    """Return the visit that was typed, or ``None`` where something has to be asked first."""
    _put(draft, {"visit_id": "visit_id", "site": "site", "kind": "kind", "team": "team", "notes": "notes"})
    _when(draft, zone)
    _conditions(draft)
    undisturbed = _yes_no(draft, "undisturbed_water")
    draft.body["readings"] = []
    for one in readings:
        _reading(draft, one, {} if undisturbed is None else {"undisturbed_water": undisturbed})
    build_catch(draft)
    build_flow(draft)
    if draft.asked:
        return None
    try:
        return VisitBody.model_validate(draft.body)
    except ValidationError as error:
        draft.refuse(broken_rules(error))
        return None


def _put(draft: Draft, names: Mapping[str, str]) -> None:
    for name, key in names.items():
        draft.put(f"/{key}", name, draft.text(name) or None)


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
        draft.put(f"/conditions/{key}", name, value)
    draft.put("/conditions/dead_fish", "dead_fish", _yes_no(draft, "dead_fish"))


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
        if asked.kind is Kind.BOX:
            draft.put(f"{pointer}/kit_lot", name, draft.text(name).lower() or None)
            continue
        if asked.choices:
            value: object = _yes_no(draft, name)
        else:
            value = draft.take(name, typed_whole if asked.field == "tablets" else number)
        draft.put(f"{pointer}/procedure/{asked.field}", name, value)
