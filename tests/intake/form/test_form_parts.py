"""What only some visits have: the box of a kit, a gauging, two bottles, a net of which a part was counted."""

import re
from typing import Any

import pytest

from tests.api import Api
from tests.intake.form.pages import Fields, filled, opened, send, visits

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
FLOATS = {
    "g-length_m": "10", "g-bottom": "rocky", "g-time-0": "21", "g-time-1": "20", "g-time-3": "22,5",
    "g-t0-width_m": "3.2", "g-t0-depth-0": "0.2", "g-t0-depth-1": "0.3", "g-t0-depth-2": "0",
    "comma": "yes",
}  # fmt: skip
ACROSS = {
    f"g-v{row}-{part}": text
    for row, place in ((0, ("0", "0", "0")), (2, ("1", "0.3", "0.4")), (3, ("2.5", "0", "-0.1")))
    for part, text in zip(("distance_m", "depth_m", "velocity_m_per_s"), place, strict=True)
}
BOTTLES = {
    "b-first_mg_per_l": "9.1", "b-last_mg_per_l": "5.8", "b-hours": "120", "b-temperature_c": "20",
    "b-sample_share": "0.5",
}  # fmt: skip


def handed_in(api: Api, typed: dict[str, str]) -> Any:
    """Hand a form in, and return the body that it came to."""
    fields = filled(api) | typed
    answer = send(api, fields)
    assert answer.status_code == 201, answer.text
    (revision,) = api.get(f"/v1/visits/{fields['visit_id']}/revisions", "heron").json()["items"]
    return revision["handed_in"]


def test_a_gauging_with_floats_arrives(api: Api) -> None:
    gauging = {key: told for key, told in handed_in(api, FLOATS)["gauging"].items() if told is not None}
    assert gauging == {
        "method": "float", "length_m": 10.0, "bottom": "rocky", "times_s": [21.0, 20.0, 22.5],
        "transects": [{"width_m": 3.2, "depths_m": [0.2, 0.3, 0.0]}],
    }  # fmt: skip


def test_a_gauging_across_the_stream_arrives_without_its_empty_rows(api: Api) -> None:
    gauging = handed_in(api, ACROSS)["gauging"]
    assert (gauging["method"], gauging["transects"]) == ("mid-section", None)
    assert [tuple(row.values()) for row in gauging["verticals"]] == [
        (0.0, 0.0, 0.0),
        (1.0, 0.3, 0.4),
        (2.5, 0.0, -0.1),
    ]


def test_two_bottles_arrive(api: Api) -> None:
    assert handed_in(api, BOTTLES)["bottles"] == {
        "first_mg_per_l": 9.1, "last_mg_per_l": 5.8, "hours": 120.0, "temperature_c": 20.0,
        "sample_share": 0.5,
    }  # fmt: skip


@pytest.mark.parametrize(("count", "scheme"), [("p", "presence"), ("14", "counts")])
def test_a_net_of_which_some_groups_were_counted(api: Api, count: str, scheme: str) -> None:
    net = {"a-0-taxon": "mayfly", "a-0-count": count, "counted_only": "mayfly, stonefly,"}
    caught = handed_in(api, net)["catch"]
    assert (caught["count_scheme"], caught["counted_only"]) == (scheme, ["mayfly", "stonefly"])


def without(fields: dict[str, str], *names: str) -> dict[str, str]:
    return {name: text for name, text in fields.items() if name not in names}


ASKED = (
    (without(FLOATS, "g-length_m"), "g-length_m", "How many metres"),
    (without(FLOATS, "g-bottom"), "g-bottom", "What is the bed made of?"),
    (without(FLOATS, "g-time-1"), "g-time-1", "three floats or more"),
    (without(FLOATS, "g-t0-depth-1"), "g-t0-depth-1", "depth at three places"),
    (FLOATS | {"g-t1-width_m": "2"}, "g-t1-depth-0", "depth at three places"),
    (FLOATS | {"g-time-1": "0"}, "g-time-1", "at least 0.1"),
    (FLOATS | {"g-t0-depth-2": "12"}, "g-t0-depth-2", "at most 10"),
    (FLOATS | ACROSS, "g-length_m", "one gauging"),
    (without(ACROSS, "g-v2-depth_m"), "g-v2-depth_m", "distance, depth and speed"),
    (ACROSS | {"g-v3-velocity_m_per_s": "50"}, "g-v3-velocity_m_per_s", "at most 10"),
    (ACROSS | {"g-v3-distance_m": "0.5"}, "g-v0-distance_m", "must rise"),
    (without(ACROSS, *(name for name in ACROSS if "v3" in name)), "g-v0-distance_m", "three verticals"),
    (without(BOTTLES, "b-hours"), "b-hours", "Fill this in as well"),
    (BOTTLES | {"b-first_mg_per_l": "2.x"}, "b-first_mg_per_l", "is not a number"),
    ({"gear": "d-net"}, "none_found", "Count the animals, or tick this"),
    ({"a-0-taxon": "mayfly", "a-0-count": "P", "a-1-taxon": "scud", "a-1-count": "C"}, "a-0-count", "P for"),
    ({"a-0-taxon": "mayfly", "a-0-count": "1", "counted_only": "mayflie"}, "counted_only", "did you mean"),
)  # fmt: skip


def test_what_is_lacking_is_asked_beside_its_field_and_the_part_stays_open(api: Api) -> None:
    for typed, name, told in ASKED:
        sent = filled(api) | typed
        answer = send(api, sent)
        assert answer.status_code == 422, (name, answer.text)
        found = re.search(rf'id="{name}-e">(.*?)</p>', answer.text)
        assert found is not None, (name, re.findall(r'id="[^"]*-e">.*?</p>', answer.text))
        assert told in found[1]
        page = Fields(answer.text)
        assert [one for one in typed if page.fields.get(one) != typed[one]] == []
        folded = re.findall(r"<details[^>]*class=\"part\"[^>]*>", answer.text)
        assert [" open" in one for one in folded] == [name[0] == "g", name[0] == "b"]
    assert visits(api) == []


def test_more_places_across_the_stream_come_without_a_key(api: Api) -> None:
    page = Fields(send(api, opened(api) | ACROSS | {"do": "places"}, dry_run=True).text)
    assert {"g-v9-depth_m", "g-v3-depth_m"} <= set(page.ids)
    assert "g-v10-depth_m" not in page.ids


BOX = {"school": "heron", "kit": "ph-tablet-comparator", "code": "red-b", "expires_on": "2026-01-31"}


def test_the_school_chooses_among_its_boxes_and_an_old_one_is_told(api: Api) -> None:
    assert api.post("/v1/kit-lots", BOX, "heron").status_code == 201
    without_key = send(api, filled(api) | {"do": "boxes", "key": ""}, dry_run=True)
    assert (without_key.status_code, "red-b" in without_key.text) == (401, False)
    of_others = send(api, filled(api) | {"do": "boxes", "key": api.keys["otter"]}, dry_run=True)
    assert "red-b" not in of_others.text
    listed = send(api, filled(api) | {"do": "boxes"}, dry_run=True)
    assert listed.status_code == 200
    assert "red-b, good until 2026-01-31" in listed.text
    page = Fields(listed.text)
    assert (page.fields["r-ph-box"], page.fields["r-ph-value"]) == ("", "7")
    chosen = page.fields | {"r-ph-box": "red-b", "key": api.keys["heron"]}
    done = send(api, chosen)
    assert "The last good day of box red-b was 2026-01-31" in done.text
    (stored,) = visits(api)
    answer = api.get(f"/v1/visits/{stored['visit_id']}/revisions", "heron").json()["items"][0]["handed_in"]
    assert [one["kit_lot"] for one in answer["readings"] if one["parameter"] == "ph"] == ["red-b"]


def test_a_box_that_the_school_has_not_is_asked_about(api: Api) -> None:
    assert api.post("/v1/kit-lots", BOX, "heron").status_code == 201
    answer = send(api, filled(api) | {"r-ph-box": "Green-1"})
    assert answer.status_code == 422
    assert 'id="r-ph-box-e">This school has no box green-1' in answer.text.replace("\n", "")
    assert Fields(answer.text).fields["r-ph-box"] == "Green-1"
    assert "red-b, good until" in answer.text


def test_a_school_without_boxes_is_told_so(api: Api) -> None:
    assert "has entered no box" in send(api, filled(api) | {"do": "boxes"}, dry_run=True).text
