"""However many files are sent at once, visits still come in: the files beyond a few are asked to wait."""

import pytest

from service.intake import upload
from tests.api import Api, visit
from tests.intake.imports.files import fates, keep, line, send, sheet

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
ADDRESSES = ("/v1/imports", "/v1/imports/propose", "/v1/imports/sites")


def test_one_file_too_many_is_asked_to_come_again(api: Api, monkeypatch: pytest.MonkeyPatch) -> None:
    keep(api)
    monkeypatch.setattr(upload, "LONGEST_QUEUE_S", 0.01)
    held = [upload._free.acquire(blocking=False) for _ in range(upload.FILES_AT_ONCE)]
    try:
        assert all(held)
        for address in ADDRESSES:
            busy = api.call("POST", f"{address}?school=heron", "coordinator", content=sheet(line()))
            assert (busy.status_code, busy.headers["retry-after"]) == (503, "30"), busy.text
            assert busy.headers["content-type"] == "application/problem+json"
        api.submit(visit(team="beside"))
    finally:
        for _ in held:
            upload._free.release()
    for _ in range(upload.FILES_AT_ONCE + 1):  # each gives its place back, also one that is refused
        send(api, b"", wanted=422)
    assert fates(send(api, sheet(line()), mapping="class-sheet").json()) == ["stored"]
