"""Where along a stream something changes, asked over HTTP. One school reads three sites of a brook."""

from typing import Any

import pytest

from tests.api import Api, Json, catch, reading, visit

SITES = {"brook-01": 1.0, "brook-02": 3.0, "brook-03": 5.5}  # kilometres from the mouth
DAYS = 8
CONDUCTANCE = {"brook-03": 200, "brook-02": 410, "brook-01": 310}


def add_site(api: Api, code: str, km: float | None, school: str = "heron") -> None:
    body = {"code": code, "name": code.title(), "school": school, "stream": "brook", "elevation_m": 120}
    assert api.post("/v1/sites", body | ({} if km is None else {"stream_km": km})).status_code == 201


@pytest.fixture
def brook(api: Api) -> Api:
    for code, km in SITES.items():
        add_site(api, code, km)
    return api


def conductance(value: float, **more: Any) -> Json:
    return reading("specific_conductance", value, "uS/cm", kit="conductivity-meter", **more)


def on(day: int, hour: int = 10) -> str:
    return f"2026-03-{day:02}T{hour:02}:00:00-05:00"


def read_everywhere(api: Api, days: int = DAYS) -> None:
    for day in range(1, days + 1):
        for place, (site, value) in enumerate(CONDUCTANCE.items()):
            row = conductance(value + 10 * (day % 3))
            answer = api.submit(visit(site, on(day, 9 + place), readings=[row]))
            assert answer["state"] == "released", answer


def profile(api: Api, query: str = "", key: str | None = None, stream: str = "brook") -> Json:
    answer = api.get(f"/v1/streams/{stream}/profile{query}", key)
    assert answer.status_code == 200, answer.text
    return answer.json()


def only(answer: Json) -> Json:
    (found,) = answer["profiles"]
    return found


def test_sites_stand_from_the_headwater_down_and_the_reach_that_changes_is_named(brook: Api) -> None:
    read_everywhere(brook)
    answer = profile(brook)
    found = only(answer)
    assert (found["parameter"], found["index"], found["unit"]) == ("specific_conductance", None, "uS/cm")
    # By hand: the middle of 10 20 0 10 20 0 10 20 is 10.
    assert [(site["site"], site["stream_km"], site["median"]["text"]) for site in found["sites"]] == [
        ("brook-03", 5.5, "210 µS/cm"),
        ("brook-02", 3.0, "420 µS/cm"),
        ("brook-01", 1.0, "320 µS/cm"),
    ]
    assert {(site["readings"], site["days"]) for site in found["sites"]} == {(DAYS, DAYS)}
    upper, lower = found["reaches"]
    assert (upper["upstream"], upper["downstream"], upper["length_km"]) == ("brook-03", "brook-02", 2.5)
    assert upper["change"]["middle"] == {"low": 210.0, "high": 210.0, "text": "210 µS/cm"}
    assert upper["kit_steps"] == {"finest": 10.0, "coarsest": 10.0}
    assert upper["change"]["certain_kit_steps"] == 21.0
    assert (upper["verdict"], lower["verdict"]) == ("changes here", "changes here")
    assert "rises between brook-03 and brook-02 by about 210 µS/cm" in found["text"]
    assert "The largest change is between brook-03 and brook-02." in found["text"]
    assert answer["text"].startswith(
        "The largest change of specific conductance (rises) lies between brook-03 and brook-02."
    )


def test_a_reach_says_how_it_was_tested(brook: Api) -> None:
    read_everywhere(brook)
    upper, lower = only(profile(brook))["reaches"]
    # Eight days that all agree: 2 in 2^8, and twice that for two reaches (Holm).
    assert (upper["sign_test_p"], upper["signed_rank_p"], upper["p"], upper["adjusted_p"]) == (
        0.0078125,
        0.0078125,
        0.0078125,
        0.015625,
    )
    days = ("paired_days", "days_higher_downstream", "days_lower_downstream", "days_without_difference")
    assert [lower[name] for name in days] == [8, 0, 8, 0]
    assert lower["change"]["bounds_hold_percent"] == 96.09  # by hand: 1 - 2 x 5/256, three means outside
    own = only(profile(brook, key="heron"))["reaches"][1]
    assert own == lower | {"minutes_later_downstream": 60.0, "days_left_out": own["days_left_out"]}
    assert lower["minutes_later_downstream"] is None  # the hours of visits are not public


def test_dates_bound_the_profile(brook: Api) -> None:
    read_everywhere(brook)
    answer = profile(brook, "?from=2026-03-04&to=2026-03-07")
    assert (answer["from_date"], answer["to_date"]) == ("2026-03-04", "2026-03-07")
    found = only(answer)
    assert {reach["paired_days"] for reach in found["reaches"]} == {4}
    assert {reach["verdict"] for reach in found["reaches"]} == {"not enough days"}
    assert [reach["change"] for reach in found["reaches"]] == [None, None]
    assert "cannot be told yet" in found["text"]


def test_every_parameter_of_two_sites_is_followed_and_one_that_is_asked_for_always(brook: Api) -> None:
    tube = reading("transparency", 60, "cm", kit="transparency-tube-60")
    acidity = reading("ph", 7.2, kit="ph-meter")
    brook.submit(visit("brook-03", on(1), readings=[conductance(200), tube]))
    brook.submit(visit("brook-01", on(1), readings=[conductance(210), tube, acidity]))
    found = {one["parameter"]: one for one in profile(brook)["profiles"]}
    assert set(found) == {"transparency", "specific_conductance"}
    assert {site["median"]["text"] for site in found["transparency"]["sites"]} == {"at least 60 cm"}
    alone = only(profile(brook, "?parameter=ph"))
    assert [site["site"] for site in alone["sites"]] == ["brook-01"]
    assert "two sites" in alone["text"]


def test_sites_without_a_place_in_order_stand_apart_with_the_reason(brook: Api) -> None:
    add_site(brook, "brook-04", None)
    add_site(brook, "brook-05", 3.0)
    read_everywhere(brook, 1)
    for code in ("brook-04", "brook-05"):
        brook.submit(visit(code, on(1), readings=[conductance(200)]))
    found = only(profile(brook))
    assert [site["site"] for site in found["sites"]] == ["brook-03", "brook-02", "brook-01"]
    apart = {one["site"]: one["reason"] for one in found["sites_apart"]}
    assert "enter stream_km" in apart["brook-04"]
    assert "above or below brook-02" in apart["brook-05"]
    asked = only(profile(brook, "?parameter=ph"))
    assert {one["site"] for one in asked["sites_apart"]} == {f"brook-0{number}" for number in range(1, 6)}


def test_held_visits_and_duplicates_change_nothing_for_anybody(brook: Api) -> None:
    read_everywhere(brook)
    everybody = (None, "heron", "coordinator")
    before = {who: profile(brook, key=who) for who in everybody}
    held = brook.submit(visit("brook-02", on(9), readings=[conductance(99_999)]))
    again = visit("brook-02", on(8, 11), kind="field-replicate", readings=[conductance(900)])
    brook.submit(again)
    assert held["state"] == "held"
    assert {who: profile(brook, key=who) for who in everybody} == before


@pytest.mark.parametrize(("parameter", "left_out"), [("ph", 1), ("specific_conductance", 0)])
def test_visits_far_apart_in_time_do_not_count_where_the_hour_does(
    brook: Api, parameter: str, left_out: int
) -> None:
    for site, hour in (("brook-03", 9), ("brook-02", 12)):
        rows = [conductance(200), reading("ph", 7.2, kit="ph-meter")]
        brook.submit(visit(site, on(1, hour), readings=rows))
    reach = only(profile(brook, f"?parameter={parameter}", "coordinator"))["reaches"][0]
    assert reach["days_left_out"]["more_than_2_hours_apart"] == left_out
    assert reach["paired_days"] == 1 - left_out


def test_whether_two_visits_were_near_in_time_is_told_only_to_those_who_may_know_the_hours(
    brook: Api,
) -> None:
    # Else whoever reads a site of his own next to it, and corrects the hour of his own visit again and again,
    # would find the hour of the other school's visit to the minute.
    told, whole = [], DAYS - 2
    for hour, compared in ((11, whole), (16, 0)):
        visits = []
        for day in range(1, whole + 1):
            for site, at, ph in (("brook-03", 10, 7.2), ("brook-02", hour, 7.9)):
                body = visit(site, on(day, at), readings=[reading("ph", ph + day % 3 / 10, kit="ph-meter")])
                visits.append(brook.submit(body)["visit_id"])
        for who in ("coordinator", "heron"):
            assert only(profile(brook, "?parameter=ph", who))["reaches"][0]["paired_days"] == compared
        told.append([profile(brook, "?parameter=ph", who) for who in (None, "reader", "otter")])
        for visit_id in visits:
            assert brook.call("DELETE", f"/v1/visits/{visit_id}", "heron").status_code == 200
    near, far = told
    assert near == far
    (reach,) = only(far[0])["reaches"]
    assert (reach["verdict"], reach["paired_days"]) == ("changes here", whole)
    assert "ask the coordinator" in only(far[0])["text"]
    assert any("ask the coordinator" in reason for reason in reach["reasons"])


def test_kits_of_different_kinds_are_not_held_against_each_other(brook: Api) -> None:
    own = {
        "code": "strip", "name": "Strip", "kind": "strip", "parameter": "ph", "unit": "std units",
        "lower": 4, "upper": 9, "step": 1, "reads_zero": False,
    }  # fmt: skip
    assert brook.post("/v1/kits", own).status_code == 201
    for site, kit in (("brook-03", "ph-meter"), ("brook-02", "strip"), ("brook-01", "strip")):
        brook.submit(visit(site, on(1), readings=[reading("ph", 7, kit=kit)]))
    upper, lower = only(profile(brook))["reaches"]
    assert (upper["days_left_out"]["other_kind_of_kit"], upper["paired_days"]) == (1, 0)
    assert (lower["paired_days"], lower["kit_steps"]) == (1, {"finest": 1.0, "coarsest": 1.0})


def test_readings_without_a_kit_are_compared_within_one_school_alone(brook: Api) -> None:
    add_site(brook, "brook-00", 0.5, "otter")
    unnamed = [reading("ph", 7.2)]
    brook.submit(visit("brook-02", on(1), readings=unnamed))
    brook.submit(visit("brook-01", on(1), readings=unnamed))
    brook.submit(visit("brook-00", on(1), readings=unnamed), "otter")
    within, across = only(profile(brook))["reaches"]
    # The finest kit for pH of the catalogue is a meter of 0.1.
    assert (within["paired_days"], within["kit_steps"]) == (1, {"finest": 0.1, "coarsest": 0.1})
    assert (across["paired_days"], across["days_left_out"]["other_kind_of_kit"]) == (0, 1)


def test_a_site_that_is_seldom_read_is_stepped_over(brook: Api) -> None:
    for day in range(1, DAYS + 1):
        for site in ("brook-03", "brook-01"):
            brook.submit(visit(site, on(day), readings=[conductance(CONDUCTANCE[site] + 10 * (day % 3))]))
    brook.submit(visit("brook-02", on(1), readings=[conductance(250)]))
    found = only(profile(brook))
    assert [site["site"] for site in found["sites"]] == ["brook-03", "brook-02", "brook-01"]
    (reach,) = found["reaches"]
    assert (reach["upstream"], reach["over"], reach["downstream"]) == ("brook-03", ["brook-02"], "brook-01")
    assert (reach["length_km"], reach["verdict"]) == (4.5, "changes here")
    assert reach["reasons"][0].startswith("brook-02 lies between")


def test_an_index_is_followed_like_a_parameter(brook: Api) -> None:
    clean, poor = ("Heptageniidae", 60), ("Chironomidae", 60)
    for day in range(1, 8):
        for site, counts in (("brook-03", [clean]), ("brook-02", [poor, ("Heptageniidae", day)])):
            sample = catch(*counts, ("Baetidae", 60 + day))
            brook.submit(visit(site, on(day), readings=[], catch=sample))
    brook.submit(visit("brook-02", on(9), readings=[], catch=catch(("Chironomidae", 3))))  # too few animals
    found = only(profile(brook, "?index=family-biotic-extended"))
    assert (found["parameter"], found["index"], found["unit"]) == (None, "family-biotic-extended", "")
    assert [site["readings"] for site in found["sites"]] == [7, 7]
    (reach,) = found["reaches"]
    assert (reach["verdict"], reach["days_higher_downstream"]) == ("changes here", 7)
    assert reach["kit_steps"] is None
    assert "family-biotic-extended rises between brook-03 and brook-02" in found["text"]
    both = profile(brook, "?index=family-biotic-extended&parameter=ph")
    assert [(one["parameter"], one["index"]) for one in both["profiles"]] == [
        ("ph", None),
        (None, "family-biotic-extended"),
    ]


def test_a_stream_without_visits_says_that_there_is_nothing_to_compare(brook: Api) -> None:
    answer = profile(brook)
    assert answer["profiles"] == []
    assert answer["text"].startswith("Nothing to compare")


@pytest.mark.parametrize(
    ("address", "status", "told"),
    [
        ("/v1/streams/nowhere/profile", 404, "no site on a stream nowhere"),
        ("/v1/streams/brook/profile?parameter=colour", 400, "/v1/catalogue/"),
        ("/v1/streams/brook/profile?index=colour", 400, "/v1/catalogue/"),
        ("/v1/streams/brook/profile?site=brook-01", 400, "site"),
        ("/v1/streams/brook/profile?from=2026-03-02&to=2026-03-01", 400, "exchange them"),
        ("/v1/streams/brook/profile?from=yesterday", 400, "year-month-day"),
    ],
)
def test_what_cannot_be_answered_is_refused_with_the_reason(
    brook: Api, address: str, status: int, told: str
) -> None:
    answer = brook.get(address)
    assert answer.status_code == status
    assert answer.headers["content-type"] == "application/problem+json"
    assert told in answer.json()["detail"]
