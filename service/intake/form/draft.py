"""A visit that is being made of what was typed: its body, and from which field each piece of it came."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import ValidationError

from service.core.errors import FieldError
from service.core.http_errors import in_plain_words, pointer_to
from service.intake.form.typed_number import COMMA, Ask
from service.science.qa.wording import number_words, sentence

Value = TypeVar("Value")
WHOLE = ""  # stands for the whole form, where no single field is meant


@dataclass(slots=True)
class Draft:
    """The body of a visit in the making. ``asked`` holds what to say beside a field, by its name."""

    typed: Mapping[str, str]
    body: dict[str, Any] = field(default_factory=dict)
    origins: dict[str, str] = field(default_factory=dict)
    asked: dict[str, str] = field(default_factory=dict)

    @property
    def comma(self) -> bool:
        """Whether somebody said that a comma stands before the decimals."""
        return COMMA in self.typed

    def text(self, name: str) -> str:
        """Return what was typed into a field; empty where nothing was."""
        return self.typed.get(name, "")

    def take(self, name: str, read: Callable[[str], Value]) -> Value | None:
        """Return what a field holds, or ``None`` where it is empty or has to be asked about."""
        if not self.text(name):
            return None
        try:
            return read(self.text(name))
        except Ask as question:
            self.ask(name, question.message)
            return None

    def put(self, pointer: str, name: str, value: object) -> None:
        """Put a value that is there into the body, and remember which field it came from."""
        self.origins[pointer] = name
        if value is None:
            return
        *parents, last = pointer.split("/")[1:]
        place: Any = self.body
        for parent in parents:
            place = place[int(parent)] if isinstance(place, list) else place.setdefault(parent, {})
        place[last] = value

    def ask(self, name: str, message: str) -> None:
        """Say something beside a field; what was said first stays."""
        self.asked.setdefault(name, message)

    def origin(self, pointer: str) -> str:
        """Return the field that a piece of the body came from."""
        while pointer and pointer not in self.origins:
            pointer = pointer.rpartition("/")[0]
        return self.origins.get(pointer, WHOLE)

    def refuse(self, errors: Iterable[FieldError]) -> None:
        """Say beside the fields what was wrong with the body that was made of them."""
        for error in errors:
            name = self.origin(error.pointer)
            before = self.asked.get(WHOLE, "") if name == WHOLE else ""
            message = sentence(error.message)
            if name == WHOLE and before:
                self.asked[WHOLE] = f"{before} {message}"
            else:
                self.ask(name, message)


def broken_rules(error: ValidationError) -> list[FieldError]:
    """Return what breaks the rules of a visit, in a teacher's words."""
    return [
        FieldError(pointer_to(one["loc"]), _words(one["type"], one.get("ctx", {})) or in_plain_words(one))
        for one in error.errors(include_url=False, include_input=False)
    ]


def _words(kind: str, told: Mapping[str, Any]) -> str:
    if kind == "missing":
        return "fill this in as well"
    if kind == "greater_than_equal":
        return f"must be at least {number_words(told['ge'])}; look at the number and its unit again"
    if kind == "greater_than":
        return f"must be more than {number_words(told['gt'])}; look at the number and its unit again"
    if kind == "less_than_equal":
        return f"must be at most {number_words(told['le'])}; look at the number and its unit again"
    if kind == "string_too_long":
        return f"is too long; {told['max_length']} letters are the most"
    return ""
