"""How a file comes: as the body or in a form, large, but not too large, and after the key."""

import json
import os
from pathlib import Path

import pytest
from starlette.requests import Request
from starlette.responses import PlainTextResponse
from starlette.types import Receive, Scope, Send

from service.core.door.whole_body import UPLOAD, WholeBody
from service.core.settings import Settings
from tests.api import Api
from tests.core.door.asgi import GONE, ask, part
from tests.intake.imports.files import MAPPING, fates, keep, line, sheet

LAST = part(b"", more=False)
on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


class Behind:
    """Keeps what came as a file, and where it lay."""

    def __init__(self) -> None:
        self.files: list[bytes] = []
        self.paths: list[Path] = []

    async def __call__(self, scope: Scope, receive: Receive, send: Send) -> None:
        path: Path = scope["state"][UPLOAD]
        assert await Request(scope, receive).body() == b""
        self.files.append(path.read_bytes())
        self.paths.append(path)
        await PlainTextResponse('"here"')(scope, receive, send)


@pytest.fixture
def behind() -> Behind:
    return Behind()


@pytest.fixture
def door(behind: Behind) -> WholeBody:
    return WholeBody(behind, limit_bytes=100, deadline_s=0.2, uploads={"/v1/imports": 1000})


def test_a_file_may_be_larger_than_another_body_and_is_gone_after_the_request(
    door: WholeBody, behind: Behind
) -> None:
    answer = ask(door, "POST", "/v1/imports", {}, [part(b"a" * 500), part(b"b" * 500), LAST])
    assert (answer.status, behind.files) == (200, [b"a" * 500 + b"b" * 500])
    assert not behind.paths[0].exists()


@pytest.mark.parametrize(
    ("path", "sent", "told"),
    [
        ("/v1/imports", 1001, "1000 bytes; send it in parts"),
        ("/v1/visits", 101, "100 bytes; send one visit at a time"),
    ],
)
def test_beyond_its_limit_nothing_begins(
    door: WholeBody, behind: Behind, path: str, sent: int, told: str
) -> None:
    for headers in ({"Content-Length": str(sent)}, {}):
        answer = ask(door, "POST", path, headers, [part(b"x" * sent), LAST])
        assert answer.status == 413
        assert told in answer.body["detail"]
    assert behind.files == []


@pytest.mark.parametrize("parts", [[part(b"half"), GONE], [part(b"a"), 0.1] * 5])
def test_a_file_that_does_not_come_whole_begins_nothing_and_stays_nowhere(
    door: WholeBody, behind: Behind, parts: list, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr("tempfile.tempdir", str(tmp_path))
    ask(door, "POST", "/v1/imports", {}, parts)
    assert (behind.files, os.listdir(tmp_path)) == ([], [])


def test_a_file_of_twenty_megabytes_is_allowed() -> None:
    assert Settings().max_upload_bytes == 20 * 1024 * 1024


@pytest.fixture
def kept(api: Api) -> Api:
    return api.once(keep)


def post(api: Api, parts: list, **more: str):
    query = "&".join(f"{name}={value}" for name, value in more.items())
    return api.call("POST", f"/v1/imports?{query}", "heron", files=parts)


FILE = ("file", ("march.csv", sheet(line()), "text/csv"))
AS_JSON = ("mapping", (None, json.dumps(MAPPING)))


@on_sqlite
def test_a_form_brings_the_file_and_its_mapping(kept: Api) -> None:
    for parts in ([FILE, AS_JSON], [AS_JSON, FILE]):
        report = post(kept, parts, dry_run="true").json()
        assert (fates(report), report["mapping"]) == (["would_store"], "sent with the file")
    assert fates(post(kept, [FILE], mapping="class-sheet").json()) == ["stored"]


@on_sqlite
@pytest.mark.parametrize(
    ("parts", "query", "status", "told"),
    [
        ([AS_JSON], {}, 422, "is missing; send the sheet"),
        ([FILE, FILE], {}, 422, "given twice"),
        ([FILE, ("colour", (None, "blue"))], {}, 422, "not known here"),
        ([FILE, ("mapping", (None, "{"))], {}, 422, "JSON"),
        ([FILE, ("mapping", (None, "site ="))], {}, 422, "TOML"),
        ([FILE, ("mapping", (None, b"\xff"))], {}, 422, "UTF-8"),
        ([FILE, ("mapping", (None, '{"site": {}}'))], {}, 422, "/when"),
        ([FILE, ("mapping", (None, "x" * 1_048_577))], {}, 422, "larger than 1048576 bytes"),
        ([FILE, AS_JSON], {"mapping": "class-sheet"}, 400, "not both"),
    ],
)
def test_a_form_that_makes_no_sense_is_refused(
    kept: Api, parts: list, query: dict[str, str], status: int, told: str
) -> None:
    answer = post(kept, parts, **query)
    assert (answer.status_code, told in answer.text) == (status, True), answer.text
    assert kept.every("/v1/visits", "heron") == []


@on_sqlite
@pytest.mark.parametrize(
    ("kind", "content"),
    [
        ("multipart/form-data", b""),
        ("multipart/form-data; boundary=x", b"no form"),
        ("multipart/form-data; boundary=x", b"--x\r\nContent-Disposition: form-data; name=file\r\n\r\nhalf"),
        ("multipart/form-data; boundary=" + "x" * 300, b""),
    ],
)
def test_a_form_that_is_broken_is_refused(kept: Api, kind: str, content: bytes) -> None:
    answer = kept.call("POST", "/v1/imports", "heron", content=content, headers={"Content-Type": kind})
    assert answer.status_code == 422, answer.text
