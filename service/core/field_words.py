"""Say in the document at /openapi.json what each field and parameter is that has no words of its own.

One name means one thing in the whole service, so its words stand once, in ``field_words.csv``; where a schema
means something else by it, ``Schema.field`` has a row too.
"""

import csv
from functools import cache
from pathlib import Path
from typing import Any

WORDS = Path(__file__).with_name("field_words.csv")


@cache
def field_words() -> dict[str, str]:
    """Return the words of each name."""
    with WORDS.open(encoding="utf-8", newline="") as file:
        return {row["field"]: row["words"] for row in csv.DictReader(file)}


def say_fields(document: dict[str, Any]) -> None:
    """Describe the fields of all schemas and the parameters of all operations that nobody has described."""
    words = field_words()
    for name, schema in document["components"]["schemas"].items():
        for field, content in schema.get("properties", {}).items():
            told = words.get(f"{name}.{field}", words.get(field))
            if told is not None:
                content.setdefault("description", told)
    for item in document["paths"].values():
        for operation in item.values():
            for parameter in operation.get("parameters", []):
                if parameter["name"] in words:
                    parameter.setdefault("description", words[parameter["name"]])
