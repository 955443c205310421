"""Paging: an opaque cursor that survives no tampering, a clamped limit, and each row of a list once."""

import base64
import json
import re
import string

import pytest
from pydantic import ValidationError

from service.core.errors import BadQuery
from service.core.paging import PageQuery, read_cursor, write_cursor
from tests.api import Api

KIT = {
    "name": "Card", "kind": "strip", "parameter": "ph", "unit": "std units",
    "lower": 4, "upper": 9, "step": 1, "reads_zero": False,
}  # fmt: skip
VISIT_ID = "019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11"


def cursor_of(content: object) -> str:
    return base64.urlsafe_b64encode(json.dumps(content).encode()).decode().rstrip("=")


@pytest.mark.parametrize(
    "key", [["heron"], ["2026-03-12", "019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11", 3], ["ß/+?&", 0]]
)
def test_a_cursor_gives_its_key_back_and_is_safe_in_an_address(key: list) -> None:
    cursor = write_cursor(key)
    assert read_cursor(cursor, [type(part) for part in key]) == key
    assert set(cursor) <= set(string.ascii_letters + string.digits + "-_")


@pytest.mark.parametrize(
    "cursor",
    [
        "",
        "abc",
        "é",
        "====",
        "WyJoZXJvbiJ",  # the cursor of ["heron"] without its end
        cursor_of("heron"),
        cursor_of({"code": "heron"}),
        cursor_of(["heron"]),
        cursor_of(["heron", "3"]),
        cursor_of(["heron", True]),
        cursor_of(["heron", 3.0]),
        cursor_of(["heron", None]),
        cursor_of(["heron", 3, 3]),
    ],
)
def test_a_cursor_that_this_list_did_not_give_is_refused(cursor: str) -> None:
    with pytest.raises(BadQuery):
        read_cursor(cursor, [str, int])


@pytest.mark.parametrize(("asked", "given"), [("1", 1), ("1000", 1000), ("1001", 1000), ("9" * 30, 1000)])
def test_a_limit_is_clamped_at_the_top(asked: str, given: int) -> None:
    assert PageQuery.model_validate({"limit": asked}).limit == given


@pytest.mark.parametrize("asked", ["0", "-1", "many", "", "1.5", "nan"])
def test_a_limit_that_is_no_count_is_refused(asked: str) -> None:
    with pytest.raises(ValidationError):
        PageQuery.model_validate({"limit": asked})


@pytest.fixture
def stocked(api: Api) -> Api:
    """At least three rows in every plain list."""
    for code in ("adder", "newt", "zebra"):
        assert api.post("/v1/kits", KIT | {"code": f"{code}-card"}).status_code == 201
    school = {"code": "adder", "name": "Adder School", "time_zone": "UTC"}
    assert api.post("/v1/schools", school).status_code == 201
    return api


PLAIN_LISTS = ("/v1/schools", "/v1/sites", "/v1/kits", "/v1/keys")


def pages(api: Api, address: str, limit: int, at_most: int) -> list[dict]:
    """Return the rows of at most so many pages, in the order in which they are turned."""
    rows, following = [], f"{address}?limit={limit}"
    for _ in range(at_most):
        answer = api.get(following, "coordinator").json()
        rows += answer["items"]
        if answer["next"] is None:
            break
        following = answer["next"]
    return rows


def test_pages_of_any_size_give_each_row_once_in_the_same_order(stocked: Api) -> None:
    for address in PLAIN_LISTS:
        whole = stocked.get(address, "coordinator").json()
        assert len(whole["items"]) >= 3, address
        assert whole["next"] is None, address
        for limit in (1, 2, len(whole["items"])):
            assert pages(stocked, address, limit, len(whole["items"]) + 1) == whole["items"], address


def test_the_next_page_is_absolute_and_in_the_link_header_too(stocked: Api) -> None:
    answers = {address: stocked.get(f"{address}?limit=1", "coordinator") for address in PLAIN_LISTS}
    following = {address: answer.json()["next"] for address, answer in answers.items()}
    assert all(re.match(rf"http://testserver{address}\?", page) for address, page in following.items())
    links = {address: answer.headers.get("link") for address, answer in answers.items()}
    assert links == {address: f'<{page}>; rel="next"' for address, page in following.items()}


FORGED = [
    key + more
    for key in (["heron"], ["\x00"], ["\ud800"], ["2026-03-12", "x"], ["2026-03-12", VISIT_ID])
    for more in ([], [1], [10**30], [-(2**63) - 1], ["ph", 1], ["ph", 2**15], ["ph", 10**30], ["\x00", 1])
]


def test_a_forged_cursor_is_a_bad_query_and_never_a_failure(empty_api: Api) -> None:
    failed = []
    for address in (*PLAIN_LISTS, "/v1/visits", "/v1/readings", "/v1/scores"):
        for key in FORGED:
            answer = empty_api.get(f"{address}?cursor={cursor_of(key)}", "coordinator")
            if answer.status_code not in (200, 400):
                failed.append((address, key, int(answer.status_code)))
    assert failed == []


def test_the_cursor_of_another_list_is_refused(stocked: Api) -> None:
    of_schools = write_cursor(["heron"])
    assert stocked.get(f"/v1/schools?cursor={of_schools}", "coordinator").status_code == 200
    assert stocked.get(f"/v1/keys?cursor={of_schools}", "coordinator").status_code == 400
    assert stocked.get(f"/v1/visits?cursor={of_schools}", "coordinator").status_code == 400
