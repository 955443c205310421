"""The values of nasty_values.txt, and the fields that they may be written into."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tests.api import Json

FILE = Path(__file__).parent / "nasty_values.txt"
Way = tuple[str | int, ...]


def nasty_values() -> list[str]:
    """Return the values of the file as JSON has them on the wire."""
    lines = FILE.read_text("utf-8").split("\n")
    repeat = re.compile("«(.+?)×([0-9]+)»")
    return [
        repeat.sub(lambda found: found[1] * int(found[2]), line)
        for line in lines
        if line and not line.startswith("#")
    ]


@dataclass(frozen=True, slots=True)
class WritableField:
    """One field of the body of one address; ``kind`` is what its schema says that it is."""

    method: str
    path: str
    way: Way
    kind: str

    @property
    def pointer(self) -> str:
        """The field as a JSON pointer."""
        return "".join(f"/{step}" for step in self.way)

    @property
    def text(self) -> str:
        """The field as a person reads it."""
        return f"{self.method} {self.path} {self.pointer}"


def writable_fields(document: Json) -> list[WritableField]:
    """Return every field that the service's own description has in the JSON body of a request.

    Where several fields of a body are alike, holding the same named object, the first stands for all.
    """
    found = []
    for path, item in document["paths"].items():
        for method, operation in item.items():
            content = operation.get("requestBody", {}).get("content", {})
            if "application/json" in content:
                schema = content["application/json"]["schema"]
                found += [
                    WritableField(method.upper(), path, way, kind)
                    for way, kind in _fields_of(schema, document, (), set())
                ]
    return found


def _fields_of(schema: Json, document: Json, way: Way, known: set[str]) -> Iterator[tuple[Way, str]]:
    schema = _plain(schema, document)
    if way:
        named = schema.get("format") or ("enum" if {"enum", "const"} & set(schema) else schema.get("type"))
        yield way, str(named or "string")
    if "properties" in schema:
        if schema["title"] in known:
            return
        known.add(schema["title"])
    for name, inner in schema.get("properties", {}).items():
        yield from _fields_of(inner, document, (*way, name), known)
    if "items" in schema:
        yield from _fields_of(schema["items"], document, (*way, 0), known)


def _plain(schema: Json, document: Json) -> Json:
    """Return a schema without references, and of a choice the one that is not null."""
    while "$ref" in schema or "anyOf" in schema:
        if "$ref" in schema:
            schema = document["components"]["schemas"][schema["$ref"].rpartition("/")[2]]
        else:
            schema = next(one for one in schema["anyOf"] if one.get("type") != "null")
    return schema


def value_at(way: Way, document: Any) -> Any:
    """Return what stands at a place of a document."""
    for step in way:
        document = document[step]
    return document


def place_for(way: Way, body: Any) -> int:
    """Tell whether a body has a place for a field: 0 none, 1 the object or list it belongs to, 2 filled."""
    try:
        holder = value_at(way[:-1], body)
    except (KeyError, IndexError, TypeError):
        return 0
    if not isinstance(holder, list if way[-1] == 0 else dict):
        return 0
    return 2 if way[-1] == 0 or holder.get(way[-1]) is not None else 1
