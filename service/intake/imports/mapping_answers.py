"""What crosses HTTP of the mappings that a school keeps."""

import tomllib
from datetime import datetime
from typing import Annotated, Any

from fastapi import Body
from pydantic import BeforeValidator

from service.core.schema import Answer
from service.intake.mapping.schemas import Mapping


def _out_of_toml(sent: Any) -> Any:
    if not isinstance(sent, bytes):
        return sent
    try:
        return tomllib.loads(sent.decode())
    except ValueError as error:
        raise ValueError(f"is no TOML ({error}); JSON is sent with Content-Type: application/json") from None


SentMapping = Annotated[Mapping, BeforeValidator(_out_of_toml), Body()]


class MappingAnswer(Answer):
    """How one kind of a school's sheets is read."""

    school: str
    code: str
    changed_at: datetime
    mapping: Mapping


class MappingPage(Answer):
    """One page of a school's mappings."""

    items: list[MappingAnswer]
    next: str | None
