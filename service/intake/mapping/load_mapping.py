"""Reads a mapping from the text of a file."""

import json
import re
import tomllib
from typing import Any, Literal, TypeVar

from pydantic import BaseModel, ValidationError

from service.core.door.names_once import repeated_names
from service.core.errors import FieldError, Invalid
from service.core.http_errors import in_plain_words, pointer_to
from service.intake.mapping.schemas import Mapping

Form = TypeVar("Form", bound=BaseModel)
MOST_LETTERS = 262_144  # a hundred columns and a thousand names of sites take a tenth of it
# Reading a name of many parts takes memory with their square: one line could take all that there is.
MANY_PARTS = re.compile(
    r"""(?<![\w"'\\-])(?:(?:[\w-]++|"(?:[^"\\\n]|\\.)*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){12}"""
)


def load_mapping(text: str, kind: Literal["json", "toml"]) -> Mapping:
    """Return the mapping that a JSON or TOML text describes.

    TOML has no null: leave the field out, or write an empty text where a word stands for nothing.

    Raises
    ------
    Invalid
        With the path of every field that is wrong.
    """
    return load_as(Mapping, text, kind)


def load_as(form: type[Form], text: str, kind: Literal["json", "toml"]) -> Form:
    """Return a mapping of another form, as `load_mapping` does."""
    if len(text) > MOST_LETTERS:
        raise Invalid([FieldError("", f"is longer than {MOST_LETTERS:,} letters, which no mapping needs")])
    if kind == "toml" and MANY_PARTS.search(text):
        raise Invalid([FieldError("", "has a name of more parts than any mapping has")])
    try:
        content = tomllib.loads(text) if kind == "toml" else json.loads(text)
        repeated = repeated_names(text.encode()) if kind == "json" else ()
    except (ValueError, RecursionError) as error:
        raise Invalid([FieldError("", f"is not {kind.upper()} that can be read: {error}")]) from None
    if repeated:
        raise Invalid([FieldError(pointer, "is given twice; give it once") for pointer in repeated])
    return _read_as(form, content)


def read_mapping(content: Any) -> Mapping:
    """Return the mapping that plain values describe; raises as `load_mapping` does."""
    return _read_as(Mapping, content)


def _read_as(form: type[Form], content: Any) -> Form:
    try:
        plain = json.dumps(content, default=str)
    except ValueError:
        raise Invalid([FieldError("", "holds a number of more digits than any mapping has")]) from None
    try:
        return form.model_validate_json(plain)
    except ValidationError as error:
        told: dict[str, list[str]] = {}
        for one in error.errors(include_url=False, include_context=True):
            pointer = pointer_to(_within(content, one["loc"], is_missing=one["type"] == "missing"))
            told.setdefault(pointer, []).append(in_plain_words(dict(one)))
        raise Invalid(
            [FieldError(pointer, "; or: ".join(dict.fromkeys(words))) for pointer, words in told.items()]
        ) from None


def _within(content: Any, location: tuple[int | str, ...], *, is_missing: bool) -> tuple[int | str, ...]:
    """Return a location without the names of the kinds that pydantic tried there."""
    path: list[int | str] = []
    for place, part in enumerate(location):
        if isinstance(content, dict) and (part in content or (is_missing and place == len(location) - 1)):
            content = content.get(part)
        elif isinstance(content, list) and isinstance(part, int):
            content = content[part] if part < len(content) else None
        else:
            continue
        path.append(part)
    return tuple(path)
