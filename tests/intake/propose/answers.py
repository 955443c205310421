"""A client that reads a proposal: it puts answers where they belong, as the proposal says."""

import copy
from collections.abc import Mapping as Dictionary
from pathlib import Path
from typing import Any

from service.intake.mapping.schemas import Mapping
from service.intake.mapping.sites import Places
from service.intake.propose.propose import propose
from service.intake.propose.schemas import Proposal, Question

PLACES = {
    "mill-creek-1": ("Mill Creek at the bridge", "America/New_York"),
    "mill-creek-2": ("Mill Creek below the weir", "America/New_York"),
    "oak-run": ("Oak Run", "America/Chicago"),
}


def proposal_for(folder: Path, text: str, places: Places = PLACES) -> Proposal:
    """Return the proposal for a sheet that is written as text; bars part its columns."""
    path = folder / "sheet.csv"
    lines = [line.strip() for line in text.strip().splitlines()]
    path.write_text("\n".join(line.replace("|", ";" if "," in text else ",") for line in lines), "utf-8")
    return propose(path, places)


def question(proposal: Proposal, about: str) -> Question:
    """Return the only question about a place."""
    (found,) = [one for one in proposal.questions if one.about == about]
    return found


def asked(proposal: Proposal, *, needed: bool | None = None) -> list[str]:
    return [one.about for one in proposal.questions if needed in (None, one.needed)]


def values(one: Question) -> list[Any]:
    return [choice.value for choice in one.choices]


def remarks(proposal: Proposal, name: str) -> str:
    (found,) = [column for column in proposal.columns if column.name == name]
    return "; ".join(found.remarks)


def answered(proposal: Proposal, answers: Dictionary[str, Any]) -> Mapping:
    """Return the mapping with its answers: those given, by place; else the first choice, if needed."""
    content = copy.deepcopy(proposal.mapping)
    for one in proposal.questions:
        if one.about not in answers and one.needed:
            _put(content, one.about, one.choices[0].value if one.choices else one.fill_in)
    for about, value in answers.items():
        _put(content, about, value)
    return Mapping.model_validate(_without_nothing(content))


def _put(content: Any, about: str, value: Any) -> None:
    *way, last = [part.replace("~1", "/").replace("~0", "~") for part in about.split("/")[1:]]
    for part in way:
        content = content[int(part)] if isinstance(content, list) else content.setdefault(part, {})
    content[int(last) if isinstance(content, list) else last] = value


def _without_nothing(content: Any, inside: str = "") -> Any:
    """Return a content without the places that an answer took out; words that mean nothing stay."""
    if isinstance(content, list):
        return [_without_nothing(one) for one in content if one is not None]
    if isinstance(content, dict):
        kept = {name: one for name, one in content.items() if one is not None or inside == "values"}
        return {name: _without_nothing(one, name) for name, one in kept.items()}
    return content
