"""Bodies that break one rule each: where the service must point, and with which words."""

from collections.abc import Callable, Iterable
from typing import Any

BrokenRule = tuple[Any, str, str]  # the body, the JSON pointer of its one fault, words of the message


def misjudged(send: Callable[[Any], Any], broken: Iterable[BrokenRule]) -> list[str]:
    """Send each body and return what was not refused with 422, once, at its place and in its words."""
    wrong = []
    for body, pointer, words in broken:
        answer = send(body)
        errors = answer.json().get("errors", [])
        told_once = [error["pointer"] for error in errors] == [pointer]
        if answer.status_code != 422 or not told_once or words not in errors[0]["message"]:
            wrong.append(f"{body}: expected {pointer!r} {words!r}, got {answer.status_code} {answer.text}")
    return wrong
