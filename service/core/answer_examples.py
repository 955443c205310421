"""Show in the document at /openapi.json what answers look like: answers of the demo network, cut short.

``answer_examples.json`` holds them by operation and media type. A test holds each against its schema.
"""

import json
from functools import cache
from pathlib import Path
from typing import Any

EXAMPLES = Path(__file__).with_name("answer_examples.json")


@cache
def answer_examples() -> dict[str, dict[str, Any]]:
    """Return the examples of each operation, by media type."""
    found: dict[str, dict[str, Any]] = json.loads(EXAMPLES.read_text("utf-8"))
    return found


def show_examples(paths: dict[str, dict[str, dict[str, Any]]]) -> None:
    """Put the examples into the good answers; the address of a file has those of its list."""
    examples = answer_examples()
    for item in paths.values():
        for operation in item.values():
            told = examples.get(operation["operationId"].removesuffix("_as"), {})
            for kind, content in operation["responses"].get("200", {}).get("content", {}).items():
                if kind in told:
                    content["example"] = told[kind]
