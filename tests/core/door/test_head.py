"""HEAD is GET without the body (RFC 9110, section 9.3.2)."""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from fastapi.responses import StreamingResponse
from starlette.types import Receive, Scope, Send

from service.app import create_app
from service.core.door.head import Head
from service.core.settings import Settings
from tests.api import Api, visit
from tests.core.door.asgi import ask
from tests.served import connected, served, to_the_end

OF_THE_MOMENT = {"x-request-id", "date"}
ADDRESSES = (
    "/healthz", "/openapi.json", "/docs", "/v1/catalogue/taxa", "/v1/visits?limit=1", "/v1/readings",
    "/v1/sites", "/v1/nothing", "/v1/visits?x=1", "/static-offline-docs/swagger-ui.css",
)  # fmt: skip


@pytest.mark.parametrize("coding", ["identity", "gzip"])
@pytest.mark.parametrize("address", ADDRESSES)
def test_the_header_fields_are_those_of_get(api: Api, address: str, coding: str) -> None:
    for hour in (8, 9):
        api.submit(visit(observed_at=f"2026-03-12T{hour:02}:00:00-05:00"))
    accepted = {"Accept-Encoding": coding}
    got, headed = (api.call(method, address, headers=accepted) for method in ("GET", "HEAD"))
    fields = [
        {name: value for name, value in answer.headers.items() if name not in OF_THE_MOMENT}
        for answer in (got, headed)
    ]
    assert headed.status_code == got.status_code
    assert headed.content == b""
    if got.is_error:  # a problem repeats the request's id
        fields = [{name: value for name, value in one.items() if name != "content-length"} for one in fields]
    assert fields[1] == fields[0]


def test_what_only_takes_post_takes_no_head(api: Api) -> None:
    assert api.call("HEAD", "/v1/visits/x/decisions").status_code in (401, 404)
    assert api.call("HEAD", "/v1/alerts/x/y/acknowledge").status_code == 405


def test_a_long_answer_is_not_written_to_its_end_for_its_head() -> None:
    written = []

    def parts() -> Iterator[bytes]:
        for number in range(1000):
            written.append(number)
            yield b"row\n"

    async def long(scope: Scope, receive: Receive, send: Send) -> None:
        await StreamingResponse(parts(), headers={"Rows": "1000"})(scope, receive, send)

    answer = ask(Head(long), "HEAD", "/")
    assert (answer.status, answer.headers["rows"]) == (200, "1000")
    assert [one.get("body", b"") for one in answer.messages[1:]] == [b""]
    assert len(written) < 5


def test_over_a_socket_the_length_of_the_body_is_told_and_no_body_comes(tmp_path: Path) -> None:
    app = create_app(Settings(database_url=f"sqlite:///{tmp_path / 'none.db'}"))
    request = b"HEAD /v1/catalogue/kits HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n"
    with served(app) as port, connected(port, request) as connection:
        head, _, body = to_the_end(connection).partition(b"\r\n\r\n")
    assert head.startswith(b"HTTP/1.1 200")
    length = next(line for line in head.lower().split(b"\r\n") if line.startswith(b"content-length"))
    assert int(length.split(b":")[1]) > 1000
    assert body == b""


def test_the_log_names_the_route_of_a_head(api: Api, caplog: Any) -> None:
    with caplog.at_level("INFO", logger="wadebook.access"):
        api.call("HEAD", "/v1/sites/reed-01")
    fields = caplog.records[-1].fields
    assert (fields["method"], fields["route"]) == ("HEAD", "/v1/sites/{code}")


def test_over_a_socket_the_head_of_an_export_is_no_fault(api: Api, caplog: Any) -> None:
    api.submit(visit())
    request = b"HEAD /v1/exports/readings.csv HTTP/1.1\r\nHost: x\r\nConnection: close\r\n\r\n"
    with served(api.client.app, log_config=None) as port, connected(port, request) as connection:
        assert to_the_end(connection).startswith(b"HTTP/1.1 200")
    assert [record.message for record in caplog.records if record.levelname == "ERROR"] == []
