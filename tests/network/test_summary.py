"""The watershed's summary and the tree of watersheds."""

import pytest

from tests.api import Api, catch, reading, visit


def summary(api: Api, code: str, query: str = "", key: str | None = None) -> dict:
    answer = api.get(f"/v1/watersheds/{code}/summary{query}", key)
    assert answer.status_code == 200, answer.text
    return answer.json()


def submit_values(api: Api, parameter: str, unit: str, values: list[tuple[str | None, float]]) -> None:
    for day, (censored, value) in enumerate(values, 1):
        row = reading(parameter, value, unit) | ({"censored": censored} if censored else {})
        api.submit(visit(observed_at=f"2026-03-{day:02}T10:00:00-05:00", readings=[row]))


@pytest.mark.parametrize(
    ("values", "text"),
    [
        # The interval rule on a 60 cm tube: 6 of 12 and 7 of 13 readings over its length. The bounds
        # follow from order alone.
        ("34 52 >60 18 >60 >60 41 >60 60 >60 27 >60", "at least 60 cm"),
        ("34 52 >60 18 >60 >60 41 >60 60 >60 27 >60 >60", "at least 60 cm"),
        ("12 25 40 >60 >60", "40 cm"),
        ("25 >60 >60", "at least 60 cm"),
    ],
)
def test_medians_honour_a_full_tube(api: Api, values: str, text: str) -> None:
    pairs = [
        (">", float(value[1:])) if value.startswith(">") else (None, float(value)) for value in values.split()
    ]
    submit_values(api, "transparency", "cm", pairs)
    (found,) = summary(api, "0207")["parameters"]
    assert (found["parameter"], found["unit"], found["readings"]) == ("transparency", "cm", len(pairs))
    assert found["median"]["text"] == text


def test_limits_on_both_sides_do_no_harm_to_a_median(api: Api) -> None:
    values = ["<1", "<1", "2", "4", "4", "6", "6", "6", "8", "8", "10", ">12", ">12", ">12"]
    pairs = [(text[0], float(text[1:])) if text[0] in "<>" else (None, float(text)) for text in values]
    submit_values(api, "nitrate", "mg/L as N", pairs)
    (found,) = summary(api, "0207")["parameters"]
    assert found["median"] == {"low": 6.0, "high": 6.0, "text": "6 mg/L as N"}
    assert found["detected_percent"] == 85.7


def test_scores_are_counted_by_standing_and_only_firm_ones_by_band(api: Api) -> None:
    for day, animals in enumerate((120, 45, 12), 1):
        sample = catch(("Heptageniidae", animals // 2), ("Chironomidae", animals // 2))
        api.submit(visit(observed_at=f"2026-03-0{day}T10:00:00-05:00", catch=sample))
    found = {row["index"]: row for row in summary(api, "0207")["scores"]}["family-biotic-extended"]
    assert found["standings"] == {"rated": 1, "provisional": 1, "too_few": 1}
    assert sum(found["bands"].values()) == 2


def test_dates_and_watershed_bound_the_summary(api: Api) -> None:
    api.submit(visit("reed-02", "2026-03-01T10:00:00-05:00"))
    api.submit(visit("reed-01", "2026-03-05T10:00:00-05:00"), "otter")
    api.submit(visit("fern-01", "2026-03-05T10:00:00-05:00"), "otter")
    found = summary(api, "huc:0207", "?from=2026-03-02")
    assert found["visits"] == {"released": 1}
    assert (found["first_date"], found["last_date"]) == ("2026-03-05", "2026-03-05")
    assert (found["sites"], found["sites_with_visits"]) == (2, 1)


def test_held_visits_are_counted_for_the_coordinator_but_enter_no_median(api: Api) -> None:
    api.submit(visit(readings=[reading("ph", 7), reading("turbidity", 99_999, "NTU")]))
    assert summary(api, "0207")["visits"] == {}
    found = summary(api, "0207", key="coordinator")
    assert found["visits"] == {"held": 1}
    assert found["parameters"] == []


def test_a_site_coded_too_coarsely_is_undetermined_not_absent(api: Api) -> None:
    site = {
        "code": "wide-01",
        "name": "Wide",
        "school": "heron",
        "watershed": {"scheme": "huc", "code": "02070010"},
    }
    assert api.post("/v1/sites", site).status_code == 201
    found = summary(api, "020700100103")
    assert (found["sites"], found["sites_undetermined"]) == (2, 1)


def test_an_empty_watershed_is_an_empty_summary(api: Api) -> None:
    found = summary(api, "0209")
    assert (found["sites"], found["visits"], found["parameters"], found["scores"]) == (0, {}, [], [])


def test_a_code_that_is_none_is_not_found(api: Api) -> None:
    assert api.get("/v1/watersheds/020/summary").status_code == 404


def test_the_tree_counts_sites_at_every_level(api: Api) -> None:
    api.post("/v1/watersheds", {"scheme": "huc", "code": "0207", "name": "Reed River"})
    rows = {row["code"]: row for row in api.get("/v1/watersheds").json()["items"]}
    assert (rows["02"]["sites"], rows["0207"]["sites"], rows["020801020304"]["sites"]) == (3, 2, 1)
    assert rows["0207"]["name"] == "Reed River"
    assert (rows["0207"]["parent"], rows["02"]["parent"]) == ("02", None)
    inside = api.get("/v1/watersheds?watershed=0208").json()["items"]
    assert {row["code"] for row in inside} == {"0208", "020801", "02080102", "0208010203", "020801020304"}


def test_the_share_that_meets_a_criterion_is_bounded_where_a_limit_hides_it(api: Api) -> None:
    criterion = {
        "code": "clear-water", "name": "clear water", "parameter": "transparency", "unit": "cm",
        "at_least": 90, "applies_from": "2026-01-01", "source": "this test",
    }  # fmt: skip
    assert api.post("/v1/criteria", criterion).status_code == 201
    submit_values(api, "transparency", "cm", [(None, 30.0), (">", 60.0), (None, 95.0), (">", 120.0)])
    (found,) = summary(api, "0207")["criteria"]
    assert (found["criterion"], found["readings"], found["sites"]) == ("clear-water", 4, 1)
    assert (found["meeting_low_percent"], found["meeting_high_percent"]) == (50.0, 75.0)
    assert found["text"] == "at least 50 % and at most 75 % meet it"


def test_coverage_counts_weeks_of_sites(api: Api) -> None:
    # Two sites in 0207, four weeks from Monday 2 March to Sunday 29 March 2026.
    for day in ("02", "08", "09", "23"):
        api.submit(visit(observed_at=f"2026-03-{day}T10:00:00-05:00", team=f"t-{day}"))
    api.submit(visit("reed-01", "2026-03-10T10:00:00-05:00"), "otter")
    found = summary(api, "0207", "?from=2026-03-02&to=2026-03-29")["coverage"]
    assert found == {
        "weeks": 4, "weeks_with_visits": 3, "site_weeks": 8, "site_weeks_with_visits": 4, "percent": 50.0,
    }  # fmt: skip


def test_an_empty_summary_has_no_coverage(api: Api) -> None:
    assert summary(api, "0207")["coverage"] is None
