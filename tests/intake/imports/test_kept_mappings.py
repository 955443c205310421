"""How a school's sheets are read is kept under a name, for the school itself and the coordinator."""

import pytest

from tests.api import Api, Json
from tests.databases import read_content
from tests.intake.imports.files import MAPPING, fates, keep, line, send, sheet
from tests.intake.imports.test_restart import AS_TOML

ADDRESS = "/v1/schools/heron/mappings/class-sheet"


def changes(api: Api) -> list[tuple[str, str, str]]:
    (rows,) = [rows for table, rows in read_content(api.engine) if table.name == "change"]
    return [(row["subject_id"], row["action"], row["what"]) for row in rows if row["subject"] == "mapping"]


def test_a_mapping_is_kept_shown_replaced_and_removed_and_each_is_recorded(api: Api) -> None:
    made = api.call("PUT", ADDRESS, "heron", json=MAPPING)
    assert (made.status_code, made.json()["mapping"]) == (201, MAPPING)
    assert api.get(ADDRESS, "heron").json() == made.json()
    other = MAPPING | {"about": "the sheet of period 3"}
    changed = api.call("PUT", ADDRESS, "coordinator", json=other)
    assert (changed.status_code, changed.json()["mapping"]) == (200, other)
    assert changed.json()["changed_at"] > made.json()["changed_at"]
    assert api.call("DELETE", ADDRESS, "heron").json() == changed.json()
    assert api.get(ADDRESS, "heron").status_code == 404
    assert api.call("DELETE", ADDRESS, "heron").status_code == 404
    assert changes(api) == [
        ("class-sheet", deed, "of heron") for deed in ("made", "changed", "removed")
    ]  # fmt: skip


def test_toml_is_as_good_as_json(api: Api) -> None:
    toml = {"Content-Type": "application/toml"}
    answer = api.call("PUT", ADDRESS, "heron", content=AS_TOML.encode(), headers=toml)
    assert (answer.status_code, answer.json()["mapping"]) == (201, MAPPING)
    assert fates(send(api, sheet(line()), mapping="class-sheet").json()) == ["stored"]


@pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
@pytest.mark.parametrize(
    ("body", "told"),
    [
        (MAPPING | {"colour": 1}, "/colour"),
        ({name: part for name, part in MAPPING.items() if name != "when"}, "/when"),
        (MAPPING | {"readings": []}, "names nothing to read"),
    ],
)
def test_a_mapping_that_makes_no_sense_is_not_kept(api: Api, body: Json, told: str) -> None:
    answer = api.call("PUT", ADDRESS, "heron", json=body)
    assert (answer.status_code, told in answer.text) == (422, True)
    broken = api.call(
        "PUT", ADDRESS, "heron", content=b"site = = 3", headers={"Content-Type": "application/toml"}
    )
    assert (broken.status_code, "TOML" in broken.text) == (422, True)
    assert api.call("PUT", "/v1/schools/heron/mappings/My Sheet", "heron", json=MAPPING).status_code == 422
    assert api.get(ADDRESS, "heron").status_code == 404


def test_a_mapping_of_another_school_looks_like_one_that_is_not_there(api: Api) -> None:
    keep(api)
    missing = "/v1/schools/heron/mappings/no-such"
    for method, more in (("GET", {}), ("DELETE", {}), ("PUT", {"json": MAPPING})):
        anothers = api.call(method, ADDRESS, "otter", **more)
        nobodys = api.call(method, missing, "otter", **more)
        assert anothers.status_code == nobodys.status_code == 404
        assert anothers.json()["detail"] == nobodys.json()["detail"]
    assert api.get("/v1/schools/heron/mappings", "otter").status_code == 404
    assert api.get("/v1/schools/nobody/mappings", "coordinator").status_code == 404
    assert api.get(ADDRESS, "reader").status_code == 403
    assert api.get(ADDRESS).status_code == 401
    assert api.get(ADDRESS, "coordinator").status_code == 200
    assert api.call("DELETE", ADDRESS, "coordinator").status_code == 200


def test_the_list_comes_in_pages(api: Api) -> None:
    codes = [keep(api, code=f"sheet-{number}") for number in range(3)]
    found = api.every("/v1/schools/heron/mappings?limit=2", "heron")
    assert [row["code"] for row in found] == codes
    assert found[0]["mapping"] == MAPPING


def test_what_is_private_to_a_school_holds_its_mappings_and_takes_them_along(api: Api) -> None:
    # Words of a sheet may be names of children.
    keep(api)
    exported = api.get("/v1/schools/heron/export", "heron").json()
    assert [(row["code"], row["mapping"]) for row in exported["mappings"]] == [("class-sheet", MAPPING)]
    forgotten = api.call("DELETE", "/v1/schools/heron/private", "heron", json={"confirm": "heron"}).json()
    assert forgotten["mappings"] == 1
    assert api.get(ADDRESS, "heron").status_code == 404
    assert changes(api)[-1] == ("class-sheet", "removed", "of heron")
