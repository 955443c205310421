"""The feed of changes: a copy that follows it is equal to what one may see, whatever happened meanwhile."""

import pytest

from tests.api import Api, Json, reading, visit

IMPOSSIBLE = [reading("ph", 15)]


class Copy:
    """A dashboard's copy of the visits, kept up to date by the feed."""

    def __init__(self, api: Api, key: str | None = None, limit: int = 2) -> None:
        self.api, self.key = api, key
        self.visits: dict[str, Json] = {}
        self.next = f"/v1/changes?limit={limit}"

    def follow(self) -> list[Json]:
        """Ask until there is nothing more, and return what was told."""
        told: list[Json] = []
        more = True
        while more:
            page = self.api.get(self.next, self.key).json()
            for change in page["items"]:
                told.append(change)
                self.visits.pop(change["visit_id"], None)
                if not change["gone"]:
                    self.visits[change["visit_id"]] = change["visit"]
            more, self.next = page["more"], page["next"]
        return told

    def is_true(self) -> bool:
        return self.visits == {row["visit_id"]: row for row in self.api.every("/v1/visits", self.key)}


@pytest.fixture
def copies(api: Api) -> list[Copy]:
    return [Copy(api), Copy(api, "heron"), Copy(api, "otter"), Copy(api, "coordinator")]


def follow(copies: list[Copy]) -> None:
    for copy in copies:
        copy.follow()
        assert copy.is_true()


def test_a_copy_stays_true_through_everything_that_can_happen(api: Api, copies: list[Copy]) -> None:
    ids = [api.submit(visit(team=f"period-{n}"))["visit_id"] for n in range(5)]
    held = api.submit(visit(team="period-9", readings=IMPOSSIBLE))["visit_id"]
    follow(copies)
    assert [len(copy.visits) for copy in copies] == [5, 6, 5, 6]
    etag = api.get(f"/v1/visits/{ids[0]}", "heron").headers["etag"]
    api.call("PUT", f"/v1/visits/{ids[0]}", "heron", json=visit(notes="x"), headers={"If-Match": etag})
    etag = api.get(f"/v1/visits/{ids[1]}", "heron").headers["etag"]
    body = visit(readings=IMPOSSIBLE, team="period-1")
    api.call("PUT", f"/v1/visits/{ids[1]}", "heron", json=body, headers={"If-Match": etag})
    api.call("DELETE", f"/v1/visits/{ids[2]}", "heron")
    api.post(f"/v1/visits/{ids[3]}/decisions", {"action": "reject", "reason": "another creek"})
    api.post(f"/v1/visits/{held}/decisions", {"action": "release", "reason": "a bog"})
    api.submit(visit("reed-01", team="late"), "otter")
    follow(copies)
    assert [len(copy.visits) for copy in copies] == [4, 5, 4, 5]


def test_a_visit_that_was_public_is_told_as_gone(api: Api) -> None:
    stored = api.submit(visit())
    copy = Copy(api)
    copy.follow()
    api.call("DELETE", f"/v1/visits/{stored['visit_id']}", "heron")
    assert copy.follow() == [{"visit_id": stored["visit_id"], "gone": True, "visit": None}]


def test_a_visit_that_was_never_public_is_not_told_at_all(api: Api) -> None:
    stored = api.submit(visit(readings=IMPOSSIBLE))
    api.call("DELETE", f"/v1/visits/{stored['visit_id']}", "heron")
    assert stored["visit_id"] not in api.get("/v1/changes").text
    assert stored["visit_id"] in api.get("/v1/changes", "heron").text


def test_next_is_always_there_and_tells_only_what_is_new(api: Api) -> None:
    copy = Copy(api)
    assert copy.follow() == []
    api.submit(visit())
    assert len(copy.follow()) == 1
    assert copy.follow() == []
    assert "after=" in copy.next


def test_changes_of_other_things_do_not_stop_the_feed(api: Api) -> None:
    copy = Copy(api, limit=1)
    copy.follow()
    for km in (4.6, 4.7, 4.8):
        api.call("PATCH", "/v1/sites/reed-02", "coordinator", json={"stream_km": km})
    api.submit(visit())
    assert len(copy.follow()) == 1


def test_the_audit_trail_says_who_did_what(api: Api) -> None:
    stored = api.submit(visit())
    api.post(f"/v1/visits/{stored['visit_id']}/decisions", {"action": "reject", "reason": "another creek"})
    rows = api.every(f"/v1/audit?subject=visit&subject_id={stored['visit_id']}", "coordinator")
    assert [(row["action"], row["what"], row["key_role"], row["key_school"]) for row in rows] == [
        ("decided", "reject", "coordinator", None),
        ("made", "", "school", "heron"),
    ]


def test_the_audit_trail_names_the_fields_of_a_change_and_no_private_content(api: Api) -> None:
    api.call("PATCH", "/v1/schools/heron", "coordinator", json={"contact_email": "heron@example.org"})
    (row, *_) = api.every("/v1/audit?subject=school&subject_id=heron", "coordinator")
    assert (row["action"], row["what"]) == ("changed", "contact_email")
    assert "example.org" not in api.get("/v1/audit", "coordinator").text
