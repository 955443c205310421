"""Every failure as RFC 9457 ``application/problem+json``, with the request's id and no secrets."""

import logging
import sqlite3
from collections.abc import Mapping
from http import HTTPStatus
from typing import Any

from fastapi import FastAPI, Request, Response
from fastapi.exceptions import RequestValidationError
from fastapi.responses import JSONResponse
from fastapi.routing import iter_route_contexts
from sqlalchemy.exc import DBAPIError
from sqlalchemy.exc import TimeoutError as PoolTimeout
from starlette.exceptions import HTTPException

from service.core.answers_kept import MadeBefore
from service.core.database_trouble import is_disk_full, is_passing
from service.core.door.cross_origin import LETS_READ
from service.core.errors import (
    BadQuery,
    Conflict,
    FieldError,
    Forbidden,
    Invalid,
    NotFound,
    NotNow,
    PreconditionFailed,
    PreconditionRequired,
    Unauthenticated,
    WadebookError,
)
from service.core.etag import Unchanged
from service.core.request_id import HEADER, request_id
from service.core.schema import CODE_PATTERN

LOG = logging.getLogger("wadebook.http")
MOST_ERRORS = 100  # nobody reads on, and a small body that breaks a million rules gets no huge answer

STATUS: dict[type[WadebookError], HTTPStatus] = {
    Unauthenticated: HTTPStatus.UNAUTHORIZED,
    Forbidden: HTTPStatus.FORBIDDEN,
    NotFound: HTTPStatus.NOT_FOUND,
    Conflict: HTTPStatus.CONFLICT,
    PreconditionRequired: HTTPStatus.PRECONDITION_REQUIRED,
    PreconditionFailed: HTTPStatus.PRECONDITION_FAILED,
    NotNow: HTTPStatus.SERVICE_UNAVAILABLE,
    BadQuery: HTTPStatus.BAD_REQUEST,
    Invalid: HTTPStatus.UNPROCESSABLE_ENTITY,
}
BESIDE: dict[HTTPStatus, dict[str, str]] = {
    HTTPStatus.UNAUTHORIZED: {"WWW-Authenticate": "Bearer"},
    HTTPStatus.SERVICE_UNAVAILABLE: {"Retry-After": "30"},
}


def problem(
    status: int, detail: str, *, errors: tuple[FieldError, ...] = (), headers: dict[str, str] | None = None
) -> JSONResponse:
    """Return one problem response; ``detail`` is for the person who called."""
    body: dict[str, Any] = {
        "type": "about:blank",
        "title": HTTPStatus(status).phrase,
        "status": status,
        "detail": detail,
        # What OGC API - Features 1.0 asks of an error beside what RFC 9457 does.
        "code": HTTPStatus(status).phrase.title().replace(" ", ""),
        "description": detail,
        "request_id": request_id(),
    }
    if errors:
        body["errors"] = [
            {"pointer": error.pointer, "message": error.message} for error in errors[:MOST_ERRORS]
        ]
    # An unhandled failure is answered outside the middleware that names the request.
    named = {HEADER: request_id()} | (headers or {})
    return JSONResponse(body, status, named, media_type=PROBLEM_TYPE)


_TEXT = {"type": "string"}
_ERROR = {
    "type": "object",
    "required": ["pointer", "message"],
    "properties": {"pointer": _TEXT, "message": _TEXT},
    "additionalProperties": False,
}
PROBLEM_TYPE = "application/problem+json"
PROBLEM_SCHEMA: dict[str, Any] = {
    "title": "Problem",
    "description": "What was wrong and what to do, as RFC 9457 says it.",
    "type": "object",
    "required": ["type", "title", "status", "detail", "code", "description", "request_id"],
    "properties": {
        "type": _TEXT,
        "title": _TEXT,
        "status": {"type": "integer"},
        "detail": _TEXT,
        "code": _TEXT,
        "description": _TEXT,
        "request_id": _TEXT,
        "errors": {"type": "array", "items": _ERROR},
    },
    "additionalProperties": False,
}


def _expected(request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, WadebookError)
    status = STATUS[type(error)]
    headers = BESIDE.get(status)
    errors = error.errors if isinstance(error, Invalid) else ()
    return problem(status, error.message, errors=errors, headers=headers)


def pointer_to(location: tuple[int | str, ...]) -> str:
    """Return the JSON pointer of a place in the body; a name that is no text is shown as far as it is."""
    pointer = "".join("/" + str(part).replace("~", "~0").replace("/", "~1") for part in location)
    return pointer.encode("utf-8", "replace").decode()


def in_plain_words(error: Mapping[str, Any]) -> str:
    """Say a validation error in our words; the value itself is never repeated."""
    kind, told = error["type"], str(error["msg"]).removeprefix("Value error, ")
    plain = {
        "missing": "is missing; it must be given",
        "extra_forbidden": "is not known here; leave it out or check its spelling",
        "float_type": 'must be a number, written without quotes (7.0, not "7")',
        "int_type": "must be a whole number, written without quotes",
        "string_type": "must be text in quotes",
        "bool_type": "must be true or false",
        "finite_number": "must be a finite number; NaN and infinity are not readings",
        "model_attributes_type": "must be a JSON object; send it with Content-Type: application/json",
        "string_unicode": "holds characters that are no valid text",
    }
    if kind == "string_pattern_mismatch" and error["ctx"]["pattern"] == CODE_PATTERN:
        return "write a code of at most 48 lower-case letters, digits, hyphens and underscores"
    return plain.get(kind, told)


def _unreadable(request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, RequestValidationError)
    problems = error.errors()
    if any(item["type"] == "json_invalid" for item in problems):
        return problem(400, "The body is not readable JSON; check quotes, commas and brackets.")
    outside = [item for item in problems if item["loc"][0] != "body"]
    if any(item["loc"][0] == "path" for item in outside):
        return problem(404, "Nothing is stored under this address.")
    if outside:
        told = "; ".join(f"{item['loc'][-1]}: {in_plain_words(item)}" for item in outside)
        what = "Header field" if outside[0]["loc"][0] == "header" else "Query parameter"
        return problem(400, f"{what} {told}.")
    errors = tuple(FieldError(pointer_to(item["loc"][1:]), in_plain_words(item)) for item in problems)
    return problem(422, Invalid(errors).message, errors=errors)


def _http(request: Request, error: Exception) -> JSONResponse:
    assert isinstance(error, HTTPException)
    told = {
        404: "There is nothing at this address.",
        405: f"{request.method} is not possible at this address.",
    }
    detail = told.get(error.status_code, str(error.detail))
    headers = dict(error.headers or {})
    if error.status_code == HTTPStatus.METHOD_NOT_ALLOWED and (possible := _methods_here(request)):
        headers["Allow"] = ", ".join(possible)
    return problem(error.status_code, detail, headers=headers)


def _methods_here(request: Request) -> list[str]:
    """Return what is possible at an address: the framework names the methods of one route, not of all."""
    here = getattr(request.scope.get("route"), "path", None)
    routes = iter_route_contexts(request.app.routes)
    return sorted({method for route in routes if route.path == here for method in route.methods or ()})


def _of_the_database(request: Request, error: Exception) -> JSONResponse:
    if is_disk_full(error):
        LOG.error("the disk of the database is full", exc_info=error)
        told = "The network's disk is full; nothing was stored. Keep the sheet, and tell the coordinator."
        return problem(507, told, headers={"Retry-After": "600"})
    if is_passing(error):
        LOG.error("database not available: %s", type(error).__name__, exc_info=error)
        told = "The database does not answer just now; nothing was stored. Send the same again in a moment."
        return problem(503, told, headers={"Retry-After": "5"})
    return _unexpected(request, error)


def no_room(error: Exception) -> JSONResponse:
    """Return what is answered where there is no room for a file that is sent, or for what is told of it."""
    LOG.error("the disk of temporary files is full", exc_info=error)
    told = "There is no room left here for files. Tell the coordinator, and send the same again later."
    return problem(507, told, headers={"Retry-After": "600"})


def _of_a_file(request: Request, error: Exception) -> JSONResponse:
    return no_room(error) if is_disk_full(error) else _unexpected(request, error)


def _unexpected(request: Request, error: Exception) -> JSONResponse:
    LOG.error("unexpected error", exc_info=error)
    told = "The service failed on this request and stored nothing. Tell the coordinator the request id."
    # This answer passes no door, so what scripts of web pages need is said here.
    return problem(500, told, headers=LETS_READ)


def _unchanged(request: Request, error: Exception) -> Response:
    assert isinstance(error, Unchanged)
    return Response(status_code=HTTPStatus.NOT_MODIFIED, headers={"ETag": error.tag})


def _made_before(request: Request, error: Exception) -> Response:
    assert isinstance(error, MadeBefore)
    response = Response(error.answer.content)
    response.raw_headers = list(error.answer.headers)
    return response


def install(app: FastAPI) -> None:
    """Register the handlers on the app."""
    app.add_exception_handler(WadebookError, _expected)
    app.add_exception_handler(Unchanged, _unchanged)
    app.add_exception_handler(MadeBefore, _made_before)
    app.add_exception_handler(RequestValidationError, _unreadable)
    app.add_exception_handler(HTTPException, _http)
    app.add_exception_handler(DBAPIError, _of_the_database)
    app.add_exception_handler(PoolTimeout, _of_the_database)
    app.add_exception_handler(OSError, _of_a_file)
    app.add_exception_handler(sqlite3.Error, _of_a_file)  # of a database that is itself a temporary file
    app.add_exception_handler(Exception, _unexpected)
