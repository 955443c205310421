"""Strong entity tags: what a caller sees, in a few letters, so that nobody overwrites what he has not seen.

Reference
---------
RFC 9110, sections 8.8.3 and 13.1 (ETag, If-Match, If-None-Match); RFC 6585, section 3 (428).
"""

import json
import re
from hashlib import sha256

from pydantic import BaseModel

from service.core.errors import PreconditionFailed, PreconditionRequired

_TAG = re.compile(r'(W/)?"[\x21\x23-\x7e\x80-\xff]*"')


class Unchanged(Exception):
    """The reader already has what stands now; answered with 304 and this tag."""

    def __init__(self, tag: str) -> None:
        super().__init__(tag)
        self.tag = tag


def etag_of(answer: BaseModel) -> str:
    """Return the tag of an answer: equal answers have equal tags, whatever else the service knows."""
    # PostgreSQL gives the members of a stored document back in an order of its own.
    return tag_of(answer.model_dump(mode="json"))


def tag_of(content: object) -> str:
    """Return the tag of content that JSON can write."""
    return tag_of_bytes(json.dumps(content, sort_keys=True).encode())


def tag_of_bytes(content: bytes) -> str:
    """Return the tag of a file as it is sent."""
    return f'"{sha256(content).hexdigest()[:32]}"'


def require_match(if_match: str | None, current: str) -> None:
    """Let a change go on only where the caller has seen what stands now.

    Raises
    ------
    PreconditionRequired
        There is no ``If-Match``.
    PreconditionFailed
        It names something else than what stands now.
    """
    if if_match is None:
        raise PreconditionRequired(
            "Say which version you change: send If-Match with the ETag that the visit was answered with."
        )
    if if_match.strip() != "*" and current not in _tags(if_match):
        raise PreconditionFailed(
            "It was changed since you looked at it, so nothing was stored. Get it again, look at what is "
            "new, and send your change with the new ETag."
        )


def is_unchanged(if_none_match: str | None, current: str) -> bool:
    """Tell whether a reader already has what stands now; here a weak tag is as good as a strong one."""
    if if_none_match is None:
        return False
    held = {tag.removeprefix("W/") for tag in _tags(if_none_match)}
    return if_none_match.strip() == "*" or current in held


def _tags(header: str) -> set[str]:
    return {found.group() for found in _TAG.finditer(header)}
