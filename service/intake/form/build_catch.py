"""From the rows of animals that were typed to a catch."""

import re
from collections.abc import Mapping, Sequence
from functools import partial

from service.intake.form.draft import Draft
from service.intake.form.typed_number import typed_number, typed_whole
from service.science.catch import CountScheme

MOST_ROWS = 300
NONE_FOUND = "none_found"
FOUND = "P"  # an animal that was found, and not counted
NET_NUMBERS = ("minutes", "area_m2", "mesh_um", "sorted_share")
HOW = ("gear", "jabs", "counted_only", *NET_NUMBERS)


def animal_rows(typed: Mapping[str, str]) -> int:
    """Return how many rows for animals a form that was sent has."""
    numbers = [
        int(found[1]) for name in typed if (found := re.fullmatch(r"a-(\d{1,3})-taxon", name, re.ASCII))
    ]
    return min(max(numbers, default=-1) + 1, MOST_ROWS)


def build_catch(draft: Draft) -> None:
    """Put the animals that were typed into the body, and how they were caught; ask for what they lack."""
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
        if any(draft.text(name) for name in HOW):
            draft.ask(NONE_FOUND, "How you collected is filled in. Count the animals, or tick this.")
        return
    if lines and NONE_FOUND in draft.typed:
        draft.ask(NONE_FOUND, "Animals are counted below, so take this tick away.")
    draft.body["catch"] = {"count_scheme": _scheme(draft, lines), "counts": lines}
    draft.origins["/catch"] = "a-0-taxon"
    groups = [name.strip() for name in draft.text("counted_only").split(",") if name.strip()]
    draft.put("/catch/counted_only", "counted_only", groups or None)
    draft.put("/catch/gear", "gear", draft.text("gear") or None)
    draft.put("/catch/jabs", "jabs", draft.take("jabs", typed_whole))
    for name in NET_NUMBERS:
        draft.put(f"/catch/{name}", name, draft.take(name, partial(typed_number, comma=draft.comma)))


def _scheme(draft: Draft, lines: Sequence[Mapping[str, object]]) -> CountScheme:
    letters = {line["abundance"] for line in lines if "abundance" in line}
    if letters and any("count" in line for line in lines):
        draft.ask("a-0-count", "Some animals have numbers and some letters. Write one or the other for all.")
    if letters == {FOUND}:
        return CountScheme.PRESENCE
    if FOUND in letters:
        draft.ask("a-0-count", "Some animals have P, and some R, C or D. Write P for all, or for none.")
    return CountScheme.RCD_1_10_100 if letters else CountScheme.COUNTS


def _counted(draft: Draft, name: str) -> dict[str, object]:
    text = draft.text(name).upper()
    if text in {"R", "C", "D", FOUND}:
        return {"abundance": text}
    count = draft.take(name, typed_whole)
    return {} if count is None else {"count": count}
