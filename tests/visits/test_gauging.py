"""A gauging and two bottles over HTTP: taken in, worked out, kept, and refused where they make no sense."""

from typing import Any

import pytest

from tests.api import Api, Json, reading, visit

# Two transects and three floats over 20 ft, in metres and seconds: 0.25976 m3/s by hand (US EPA 841-B-97-003,
# section 5.1, formula from memory): mean area 8.6 ft2, mean time 15.0 s, 0.8 for a rocky bed.
FOOT = 0.3048
FLOATS: Json = {
    "method": "float",
    "length_m": 20 * FOOT,
    "times_s": [14.2, 15.1, 15.7],
    "bottom": "rocky",
    "transects": [
        {"width_m": 12 * FOOT, "depths_m": [0.8 * FOOT, 1.2 * FOOT, 0.7 * FOOT]},
        {"width_m": 14 * FOOT, "depths_m": [0.7 * FOOT, 1.0 * FOOT, 0.9 * FOOT]},
    ],
}
VERTICALS: Json = {
    "method": "mid-section",
    "verticals": [
        {"distance_m": 0, "depth_m": 0, "velocity_m_per_s": 0},
        {"distance_m": 1.0, "depth_m": 0.2, "velocity_m_per_s": 0.3},
        {"distance_m": 2.0, "depth_m": 0.3, "velocity_m_per_s": 0.4},
        {"distance_m": 3.0, "depth_m": 0, "velocity_m_per_s": 0},
    ],
}
BOTTLES: Json = {"first_mg_per_l": 8.9, "last_mg_per_l": 6.1, "hours": 121, "temperature_c": 20.5}


def holding(**parts: Any) -> Json:
    return visit(readings=[]) | parts


def derived(answer: Json) -> dict[str, Json]:
    return {row["parameter"]: row for row in answer["derived"]}


def test_floats_give_a_discharge(api: Api) -> None:
    found = derived(api.submit(holding(gauging=FLOATS)))["discharge"]
    assert (found["unit"], found["method"]) == ("m3/s", "float")
    assert found["value"] == pytest.approx(0.25976, abs=1e-5)
    assert found["low"] < found["value"] < found["high"]


def test_verticals_give_a_discharge_and_say_that_they_are_few(api: Api) -> None:
    # 0.3 x 0.2 x 1 + 0.4 x 0.3 x 1 by hand
    found = derived(api.submit(holding(gauging=VERTICALS)))["discharge"]
    assert found["value"] == pytest.approx(0.18, abs=1e-9)
    assert (found["low"], found["high"]) == (0.0, None)
    assert any("one vertical carries 67 % of the flow" in words for words in found["assumed"])


def test_bottles_give_an_oxygen_demand(api: Api) -> None:
    found = derived(api.submit(holding(bottles=BOTTLES)))
    assert found["oxygen_demand_5day"]["value"] == pytest.approx(2.8, abs=1e-9)


@pytest.mark.parametrize("parts", [{"gauging": FLOATS}, {"gauging": VERTICALS}, {"bottles": BOTTLES}])
def test_what_was_handed_in_is_answered_and_read_back(api: Api, parts: Json) -> None:
    stored = api.submit(holding(**parts))
    assert stored["state"] == "released"
    for name, part in parts.items():
        assert {key: stored[name][key] for key in part} == part
    assert api.get(f"/v1/visits/{stored['visit_id']}", "heron").json() == stored


def test_numbers_without_a_point_are_written_with_one(api: Api) -> None:
    stored = api.submit(holding(bottles=BOTTLES))
    assert '"hours":121.0' in api.get(f"/v1/visits/{stored['visit_id']}").text


def test_a_visit_without_them_says_so(api: Api) -> None:
    answer = api.submit(visit())
    assert (answer["gauging"], answer["bottles"]) == (None, None)


def test_sent_again_it_is_the_same_visit(api: Api) -> None:
    body = holding(gauging=VERTICALS, bottles=BOTTLES, visit_id="019c2f4e-6f0e-7c3a-9b1e-2f6f0c1a7d11")
    first = api.post("/v1/visits", body, "heron")
    assert api.post("/v1/visits", body, "heron").json() == first.json()
    shifted = body | {"gauging": FLOATS}
    assert api.post("/v1/visits", shifted, "heron").status_code == 409


def test_a_discharge_that_was_read_is_not_worked_out_again(api: Api) -> None:
    read = visit(readings=[reading("discharge", 0.3, "m3/s")], gauging=FLOATS)
    assert "discharge" not in derived(api.submit(read))


def test_it_follows_from_the_stored_visit_after_a_decision(api: Api) -> None:
    body = visit(gauging=FLOATS, bottles=BOTTLES)
    stored = api.submit(body)
    decision = {"action": "set-flag", "reading": 2, "flag": 4, "reason": "bubble"}
    decided = api.post(f"/v1/visits/{stored['visit_id']}/decisions", decision).json()
    before, after = derived(stored), derived(decided)
    assert set(before) - set(after) == {"dissolved_oxygen_saturation"}
    assert after["discharge"] == before["discharge"]
    assert after["oxygen_demand_5day"] == before["oxygen_demand_5day"]


def test_water_too_deep_and_fast_for_a_class_is_told_at_once(api: Api) -> None:
    fast = {"distance_m": 2.5, "depth_m": 0.6, "velocity_m_per_s": 0.8}
    deep = VERTICALS | {"verticals": [*VERTICALS["verticals"][:3], fast, *VERTICALS["verticals"][3:]]}
    (alert,) = api.submit(holding(gauging=deep))["alerts"]
    assert alert["alert"] == "deep-fast-water"
    assert "0.48 m²/s" in alert["message"]
    assert api.submit(holding(gauging=VERTICALS, team="other"))["alerts"] == []


def with_verticals(*places: tuple[float, float, float]) -> Json:
    names = ("distance_m", "depth_m", "velocity_m_per_s")
    return {"method": "mid-section", "verticals": [dict(zip(names, place, strict=True)) for place in places]}


@pytest.mark.parametrize(
    ("parts", "pointer", "words"),
    [
        ({"gauging": {"method": "bucket"}}, "/gauging/method", "'float' or 'mid-section'"),
        ({"gauging": {"method": "float"}}, "/gauging", "needs length_m, times_s, bottom, transects"),
        ({"gauging": {"method": "mid-section"}}, "/gauging", "needs verticals"),
        ({"gauging": FLOATS | {"verticals": VERTICALS["verticals"]}}, "/gauging", "has no verticals"),
        ({"gauging": VERTICALS | {"bottom": "muddy"}}, "/gauging", "has no bottom"),
        ({"gauging": FLOATS | {"times_s": [14.2, 15.1]}}, "/gauging/times_s", "three floats"),
        ({"gauging": FLOATS | {"times_s": [14.2, 15.1, 0]}}, "/gauging/times_s/2", "equal to 0.1"),
        # a length through it, or a demand through it, has no number any more
        ({"gauging": FLOATS | {"times_s": [14.2, 15.1, 1e-320]}}, "/gauging/times_s/2", "equal to 0.1"),
        ({"bottles": BOTTLES | {"sample_share": 1e-323}}, "/bottles/sample_share", "equal to 0.001"),
        ({"gauging": FLOATS | {"times_s": [14.2, 15.1, "16"]}}, "/gauging/times_s/2", "number"),
        ({"gauging": FLOATS | {"bottom": "sandy"}}, "/gauging/bottom", "'rocky' or 'muddy'"),
        ({"gauging": FLOATS | {"length_m": 0}}, "/gauging/length_m", "greater than 0"),
        ({"gauging": FLOATS | {"transects": []}}, "/gauging/transects", "one transect or two"),
        ({"gauging": FLOATS | {"transects": FLOATS["transects"] * 2}}, "/gauging/transects", "or two"),
        (
            {"gauging": FLOATS | {"transects": [{"width_m": 3.0, "depths_m": [0.2, 0.3]}]}},
            "/gauging/transects/0/depths_m", "a quarter, a half and three quarters",
        ),
        ({"gauging": FLOATS | {"area_m2": 2.0}}, "/gauging/area_m2", "not known here"),
        ({"gauging": with_verticals((0, 0.1, 0.1), (1, 0.2, 0.1))}, "/gauging/verticals", "three verticals"),
        ({"gauging": with_verticals((0, 0, 0), (2, 0.2, 0.1), (1, 0, 0))}, "/gauging", "must rise"),
        ({"gauging": with_verticals((0, 0, 0), (1, 0.2, -0.1), (2, 0, 0))}, "/gauging", "backwards"),
        ({"gauging": with_verticals((0, -1, 0), (1, 0.2, 0.1), (2, 0, 0))},
         "/gauging/verticals/0/depth_m", "greater than or equal to 0"),
        ({"bottles": BOTTLES | {"last_mg_per_l": 10.9}}, "/bottles", "exchanged"),
        ({"bottles": BOTTLES | {"first_mg_per_l": 1.0, "last_mg_per_l": 0.4}}, "/bottles", "begin again"),
        ({"bottles": BOTTLES | {"sample_share": 0}}, "/bottles/sample_share", "equal to 0.001"),
        ({"bottles": BOTTLES | {"sample_share": 10}}, "/bottles/sample_share", "less than or equal to 1"),
        ({"bottles": {"first_mg_per_l": 8.9}}, "/bottles/last_mg_per_l", "missing"),
    ],
)  # fmt: skip
def test_what_cannot_be_meant_is_refused_by_name(api: Api, parts: Json, pointer: str, words: str) -> None:
    answer = api.post("/v1/visits", holding(**parts), "heron")
    assert answer.status_code == 422, answer.text
    told = {error["pointer"]: error["message"] for error in answer.json()["errors"]}
    assert words in told[pointer]
