"""The form as it is handed in: checked, stored once, corrected, and asked back without losing a word."""

import re
import uuid

import pytest

from tests.api import Api, visit
from tests.intake.form.pages import TYPED, Fields, filled, opened, send, visits

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")


def test_a_visit_is_checked_without_storing_and_then_handed_in(api: Api) -> None:
    fields = filled(api)
    checked = send(api, fields, dry_run=True)
    assert checked.status_code == 200
    assert "nothing is stored yet" in checked.text
    assert visits(api) == []
    again = Fields(checked.text).fields | {"key": api.keys["heron"]}
    handed_in = send(api, again)
    assert handed_in.status_code == 201, handed_in.text
    (stored,) = visits(api)
    assert stored["visit_id"] == fields["visit_id"]
    answer = api.get(f"/v1/visits/{stored['visit_id']}", "heron").json()
    assert {one["parameter"]: (one["value"], one["kit"]) for one in answer["readings"]} == {
        "water_temperature": (6.5, "thermometer-alcohol"),
        "dissolved_oxygen": (8.0, "oxygen-tablet-comparator"),
        "ph": (7.0, "ph-tablet-comparator"),
    }
    assert answer["private"]["observed_at"] == "2026-03-12T10:15:00-04:00"  # New York is on summer time


def test_going_back_and_sending_again_doubles_nothing(api: Api) -> None:
    fields = filled(api)
    assert [send(api, fields).status_code for _ in range(3)] == [201, 200, 200]
    assert len(visits(api)) == 1
    assert len(api.get(f"/v1/visits/{fields['visit_id']}/revisions", "heron").json()["items"]) == 1


def test_the_id_stays_in_the_address_so_that_a_reload_is_the_same_page(api: Api) -> None:
    first = api.get("/form?site=reed-02")
    again = api.get(str(first.url))
    assert Fields(first.text).fields["visit_id"] == Fields(again.text).fields["visit_id"]
    assert first.headers["cache-control"] == "no-cache"  # no-store would forget what was typed


def test_other_content_under_the_same_id_is_asked_about_and_then_corrected(api: Api) -> None:
    fields = filled(api)
    send(api, fields)
    asked = send(api, fields | {"r-ph-value": "8"})
    assert asked.status_code == 409
    assert "handed in from this page already" in asked.text
    kept = Fields(asked.text).fields
    assert kept["r-ph-value"] == "8"
    corrected = send(api, kept | {"key": api.keys["heron"], "do": "correct"})
    assert corrected.status_code == 200
    assert "as version 2" in corrected.text
    again = send(api, kept | {"key": api.keys["heron"], "do": "correct"})
    assert (again.status_code, len(visits(api))) == (200, 1)
    stale = send(api, kept | {"key": api.keys["heron"], "do": "correct", "r-ph-value": "6"})
    assert stale.status_code == 412
    assert api.get(f"/v1/visits/{fields['visit_id']}", "heron").json()["revision"] == 2


def test_other_content_may_be_handed_in_as_a_new_visit_and_that_only_once(api: Api) -> None:
    fields = filled(api)
    send(api, fields)
    kept = Fields(send(api, fields | {"time": "13:20"}).text).fields
    sent = kept | {"key": api.keys["heron"], "do": "new"}
    assert [send(api, sent).status_code for _ in range(2)] == [201, 200]
    assert {one["visit_id"] for one in visits(api)} == {fields["visit_id"], kept["spare_id"]}


def test_a_correction_is_checked_before_it_is_handed_in(api: Api) -> None:
    fields = filled(api)
    tag = Fields(send(api, fields).text).fields["tag"]
    checked = send(api, fields | {"tag": tag, "r-ph-value": "9"}, dry_run=True)
    assert checked.status_code == 200
    assert "already stored" not in checked.text  # it is no double of itself
    assert Fields(checked.text).fields["tag"] == tag
    assert api.get(f"/v1/visits/{fields['visit_id']}", "heron").json()["revision"] == 1


def test_a_suspect_reading_is_told_beside_its_field_with_what_to_do(api: Api) -> None:
    page = send(api, filled(api) | {"r-water_temperature-value": "44"}, dry_run=True).text
    beside = page.split('id="r-water_temperature-value"')[1].split("<label")[0]
    assert "Cannot be right" in beside
    assert "Was it read in °F? Then it would be 6.7 °C" in beside
    assert '<a href="#r-water_temperature-value">' in page


ASKED = (
    ({"r-ph-value": "7,5"}, "r-ph-value", "Is 7,5 the same as 7.5?"),
    ({"r-ph-value": "1,250"}, "r-ph-value", "meant as 1250 or as 1.25"),
    ({"r-ph-value": "7.5 mg"}, "r-ph-value", "is not a number"),
    ({"r-ph-value": "1e3"}, "r-ph-value", "is not a number"),
    ({"r-ph-value": "<4", "r-ph-mark": ">"}, "r-ph-value", "Keep one of them"),
    ({"r-ph-value": "≤4"}, "r-ph-value", "where the kit could show no less"),
    ({"r-nitrate-mark": "<"}, "r-nitrate-value", "Type the end of the scale"),
    ({"r-ph-kit": "no-such-kit"}, "r-ph-kit", "no kit"),
    ({"time": ""}, "time", "When did you begin?"),
    ({"time": "24:00"}, "time", "from 00:00 to 23:59"),
    ({"date": "12.3.2026"}, "date", "year-month-day"),
    ({"date": "2026-03-08", "time": "02:30"}, "time", "set forward over 02:30"),
    ({"date": "2026-11-01", "time": "01:30"}, "fold", "showed 01:30 twice"),
    ({"team": "Period 2"}, "team", "lower-case letters"),
    ({"air_temperature": "95"}, "air_temperature", "at most 60"),
    ({"a-0-taxon": "mayfly"}, "a-0-count", "How many were there?"),
    ({"a-0-count": "3"}, "a-0-taxon", "Which animal"),
    ({"a-0-taxon": "mayfly", "a-0-count": "2.5"}, "a-0-count", "not a whole number"),
    ({"a-0-taxon": "mayfly", "a-0-count": "C", "a-1-taxon": "midge", "a-1-count": "4"}, "a-0-count", "one"),
    ({"a-0-taxon": "mayfly", "a-0-count": "3", "none_found": "yes"}, "none_found", "take this tick away"),
)


def test_what_cannot_be_taken_is_asked_beside_its_field_and_nothing_is_lost(api: Api) -> None:
    beside = {f"r-ph-{part}" for part in ("kit", "tablets", "sample_ml", "box")}  # of a kit that there is not
    for typed, name, told in ASKED:
        sent = filled(api, notes="line one & <two>") | typed
        answer = send(api, sent)
        assert answer.status_code == 422, (typed, answer.text)
        found = re.search(rf'id="{name}-e">(.*?)</p>', answer.text)
        assert found is not None, typed
        assert told in found[1], typed
        page = Fields(answer.text)
        assert name in page.ids
        assert f"#{name}" in page.links
        lost = {one for one in sent if page.fields.get(one) != sent[one]} - {"key", "spare_id"}
        assert lost == (beside if name == "r-ph-kit" else set()), typed
        assert "key" in page.fields
        assert page.fields["key"] == ""
    assert visits(api) == []


@pytest.mark.parametrize(("typed", "value", "censored"), [
    ({"r-ph-value": "7,5", "comma": "yes"}, 7.5, None),
    ({"r-ph-value": "< 4"}, 4.0, "<"),
    ({"r-ph-value": "10", "r-ph-mark": ">"}, 10.0, ">"),
    ({"r-ph-value": "\u22121"}, -1.0, None),
])  # fmt: skip
def test_numbers_and_limits_arrive_as_they_were_meant(
    api: Api, typed: dict[str, str], value: float, censored: str | None
) -> None:
    fields = filled(api) | typed
    assert send(api, fields).status_code == 201
    readings = api.get(f"/v1/visits/{fields['visit_id']}", "heron").json()["readings"]
    (ph,) = (one["written"] for one in readings if one["parameter"] == "ph")
    assert (ph["value"], ph["censored"]) == (value, censored)


@pytest.mark.parametrize(("fold", "offset"), [("first", "-04:00"), ("second", "-05:00")])
def test_of_two_times_with_one_clock_the_chosen_one_is_stored(api: Api, fold: str, offset: str) -> None:
    # The clocks of New York were set back on the first Sunday of November: IANA time zone database.
    fields = filled(api) | {"date": "2025-11-02", "time": "01:30", "fold": fold}
    assert send(api, fields).status_code == 201
    told = api.get(f"/v1/visits/{fields['visit_id']}", "heron").json()["private"]["observed_at"]
    assert told == f"2025-11-02T01:30:00{offset}"


def test_everything_that_can_be_typed_arrives(api: Api) -> None:
    fields = filled(api) | {
        "twice": "yes", "kind": "field-replicate", "weather": "overcast", "rain_48h_mm": "4", "flow": "low",
        "ice": "edge",
        "air_temperature": "9.5", "undisturbed_water": "yes", "dead_fish": "yes", "notes": "brown foam",
        "r-ph-again": "8", "r-water_temperature-seconds_in_water": "60",
        "r-dissolved_oxygen-minutes_waited": "5", "r-dissolved_oxygen-bubble_free": "no",
        "r-dissolved_oxygen-tablets": "2", "r-transparency-value": "60", "r-transparency-mark": ">",
        "r-alkalinity-kit": "=mg/L as CaCO3", "r-alkalinity-value": "120",
        "gear": "kick-seine", "minutes": "10", "area_m2": "1", "jabs": "3", "mesh_um": "500",
        "sorted_share": "0.5", "a-0-taxon": "mayfly", "a-0-count": "14", "a-0-life_stage": "nymph",
        "a-3-taxon": "Gammaridae", "a-3-count": "0",
    }  # fmt: skip
    assert send(api, fields).status_code == 201
    (revision,) = api.get(f"/v1/visits/{fields['visit_id']}/revisions", "heron").json()["items"]
    body = revision["handed_in"]
    assert body["kind"] == "field-replicate"
    assert body["conditions"] == {
        "weather": "overcast", "rain_48h_mm": 4.0, "flow": "low", "ice": "edge", "air_temperature_c": 9.5,
        "dead_fish": True,
    }  # fmt: skip
    by_parameter = {(one["parameter"], one["replicate"]): one for one in body["readings"]}
    assert by_parameter["ph", 2]["value"] == 8.0
    assert by_parameter["alkalinity", 1]["kit"] is None
    assert by_parameter["transparency", 1]["censored"] == ">"
    taken = {
        key: value
        for key, value in by_parameter["dissolved_oxygen", 1]["procedure"].items()
        if value is not None
    }
    assert taken == {"undisturbed_water": True, "minutes_waited": 5.0, "bubble_free": False, "tablets": 2}
    catch = {key: value for key, value in body["catch"].items() if value is not None}
    lines = [(one["taxon"], one["count"], one["life_stage"]) for one in catch.pop("counts")]
    assert lines == [("mayfly", 14, "nymph"), ("Gammaridae", 0, None)]
    assert catch == {
        "gear": "kick-seine", "minutes": 10.0, "area_m2": 1.0, "jabs": 3, "mesh_um": 500.0,
        "sorted_share": 0.5, "count_scheme": "counts",
    }  # fmt: skip
    assert body["notes"] == "brown foam"


@pytest.mark.parametrize(("typed", "counts"), [
    ({"none_found": "yes"}, []),
    ({"a-0-taxon": "mayfly", "a-0-count": "c"}, [("C", None)]),
])  # fmt: skip
def test_a_net_without_animals_and_letters_for_counts(
    api: Api, typed: dict[str, str], counts: list[object]
) -> None:
    fields = filled(api) | typed
    assert send(api, fields).status_code == 201
    catch = api.get(f"/v1/visits/{fields['visit_id']}", "heron").json()["catch"]
    assert [(one["abundance"], one["count"]) for one in catch["counts"]] == counts


def test_more_rows_and_further_readings_come_without_a_key_and_keep_what_was_typed(api: Api) -> None:
    fields = opened(api) | TYPED
    page = Fields(send(api, fields | {"do": "rows"}, dry_run=True).text)
    assert "a-10-taxon" in page.ids
    page = Fields(send(api, page.fields | {"do": "more", "add": "salinity"}, dry_run=True).text)
    assert {"r-salinity-value", "a-10-taxon"} <= set(page.ids)
    assert page.fields["r-ph-value"] == "7"
    page = Fields(send(api, page.fields | {"do": "twice"}, dry_run=True).text)
    assert {"r-salinity-value", "r-ph-again"} <= set(page.ids)


def test_a_page_whose_id_is_damaged_says_so(api: Api) -> None:
    answer = send(api, filled(api) | {"visit_id": "x"})
    assert answer.status_code == 422
    assert "Open the form of your site anew" in answer.text
    answer = send(api, filled(api) | {"site": "nowhere"})
    assert answer.status_code == 404
    assert "There is no such site" in answer.text
    assert "<b>Water temperature</b> 6.5" in answer.text


def test_the_id_of_anothers_visit_tells_nothing_of_it(api: Api) -> None:
    taken = str(uuid.uuid4())
    api.submit(visit("fern-01", visit_id=taken, notes="gate code kestrel"), "otter")
    answer = send(api, filled(api) | {"visit_id": taken})
    assert answer.status_code == 409
    assert "kestrel" not in answer.text
    assert "correct</b> the stored visit" not in answer.text
