"""Who may keep an answer, and what it depends on (RFC 9110, section 12.5.5; RFC 9111, section 5.2.2)."""

import pytest

from tests.api import Api, visit


@pytest.mark.parametrize(
    ("method", "address", "key", "words"),
    [
        ("GET", "/v1/visits", None, "no-cache"),
        ("GET", "/v1/visits", "reader", "private, no-cache"),
        ("HEAD", "/v1/sites/reed-01", None, "no-cache"),
        ("GET", "/v1/keys", "coordinator", "private, no-cache"),
        ("GET", "/v1/keys", None, "no-store"),
        ("GET", "/v1/sites/none", None, "no-store"),
        ("POST", "/v1/visits?dry_run=true", "heron", "no-store"),
    ],
)
def test_each_answer_says_who_may_keep_it(
    api: Api, method: str, address: str, key: str | None, words: str
) -> None:
    answer = api.call(method, address, key, **({"json": visit()} if method == "POST" else {}))
    assert answer.headers["cache-control"] == words
    assert answer.headers["vary"] == "Authorization, Accept, Accept-Encoding"


def test_what_has_not_changed_says_it_too(api: Api) -> None:
    tag = api.get("/v1/sites").headers["etag"]
    answer = api.call("GET", "/v1/sites", headers={"If-None-Match": tag})
    assert answer.status_code == 304
    assert answer.headers["cache-control"] == "no-cache"
    assert answer.headers["vary"] == "Authorization, Accept, Accept-Encoding"


def test_a_refusal_has_no_tag(api: Api) -> None:
    assert "etag" not in api.get("/v1/visits?cursor=nonsense").headers
    assert "etag" not in api.get("/v1/watersheds/99/summary").headers
