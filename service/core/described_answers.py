"""The document at /openapi.json names each status that an address may answer, and where no key is needed.

Each operation is called by what it does.
"""

from collections.abc import Callable
from typing import Any

from fastapi import FastAPI
from fastapi.dependencies.models import Dependant
from fastapi.routing import APIRoute, iter_route_contexts

from service.core.answer_examples import show_examples
from service.core.door.key_first import WRITING
from service.core.door.rate_limit import OPEN_TO_ALL
from service.core.field_words import say_fields
from service.core.http_errors import PROBLEM_SCHEMA, PROBLEM_TYPE

MEANING: dict[int, str] = {
    400: "A query parameter is unknown or cannot be read, or the body is no JSON.",
    401: "There is no key, or not a good one.",
    403: "This key may not do this.",
    404: "There is no such thing, or none that you may know of.",
    408: "The body did not come in time.",
    409: "It stands for something else already, or is past changing.",
    412: "It has changed since you saw it.",
    413: "The body is too large.",
    416: "There is no such part; `Content-Range` tells how long the answer is.",
    422: "The body breaks the rules named in `errors`; nothing was stored.",
    428: "Say which version you change.",
    429: "Too many requests; wait as long as `Retry-After` says.",
    431: "The address and the header fields are too long.",
    500: "The service failed and stored nothing.",
    503: "Not just now; nothing was stored. Send it again after `Retry-After`.",
    507: "The network's disk is full; nothing was stored.",
}
UNCHANGED = "What you have is what stands now."
A_PART = "The part that `Range` asks for; of an answer that is made whole before it goes out."
Operation = dict[str, Any]


def describe_answers(app: FastAPI, reader: Callable[..., Any] | None) -> None:
    """Let the app's own document name every failure of each address.

    Parameters
    ----------
    app : FastAPI
        The service with all its routes.
    reader : callable or None
        The dependency of the addresses that answer without a key too; ``None`` where none does.
    """
    plain = app.openapi

    def openapi() -> dict[str, Any]:
        document = plain()
        schemas = document["components"]["schemas"]
        if "Problem" not in schemas:
            schemas["Problem"] = PROBLEM_SCHEMA
            _describe(document["paths"], _operations_with(app, reader))
            say_fields(document)
            show_examples(document["paths"])
        return document

    setattr(app, "openapi", openapi)  # noqa: B010  the way that FastAPI names for it; types call it a method


def _describe(paths: dict[str, dict[str, Operation]], keyless: set[str]) -> None:
    for path, item in paths.items():
        for method, operation in item.items():
            if operation["operationId"] in keyless:
                operation["security"] = [*operation["security"], {}]
            operation["summary"] = _called(path, operation["description"])
            answers = operation["responses"]
            answers.pop("4XX")
            if "if-none-match" in _header_names(operation):
                answers |= {
                    "206": answers["200"] | {"description": A_PART},
                    "304": {"description": UNCHANGED},
                }
            answers |= {
                str(status): _failure(status) for status in sorted(_failures(method, path, operation))
            }
            operation.setdefault("security", [])


def _called(path: str, description: str) -> str:
    """Return the first paragraph of a description; of two addresses of a list it tells which is the file."""
    sentence = description.partition("\n\n")[0].replace("\n", " ").removesuffix(".")
    return f"{sentence}, as a file" if path.endswith(".{ending}") and "/exports/" not in path else sentence


def _is_tagged(path: str, operation: Operation) -> bool:
    return path.endswith(".{ending}") or "if-none-match" in _header_names(operation)


def _header_names(operation: Operation) -> set[str]:
    return {one["name"].lower() for one in operation.get("parameters", []) if one["in"] == "header"}


def _failures(method: str, path: str, operation: Operation) -> set[int]:
    security = operation.get("security", [{}])
    headers = _header_names(operation)
    by_cause = (
        (True, {400, 408, 413, 431, 500, 503}),
        (path not in OPEN_TO_ALL, {429}),
        (security != [{}], {401}),
        ({} not in security, {403}),
        ("{" in path, {404}),
        (method.upper() in WRITING, {409, 507}),
        ("if-match" in headers, {412, 428}),
        (_is_tagged(path, operation), {416}),
        ("requestBody" in operation, {422}),
    )
    return {status for applies, statuses in by_cause if applies for status in statuses}


def _failure(status: int) -> dict[str, Any]:
    content = {PROBLEM_TYPE: {"schema": {"$ref": "#/components/schemas/Problem"}}}
    return {"description": MEANING[status], "content": content}


def _operations_with(app: FastAPI, dependency: Callable[..., Any] | None) -> set[str]:
    def needs(dependant: Dependant) -> bool:
        return dependant.call is dependency or any(map(needs, dependant.dependencies))

    return {
        str(route.name)
        for route in iter_route_contexts(app.routes)
        if isinstance(route.original_route, APIRoute) and needs(route.original_route.dependant)
    }
