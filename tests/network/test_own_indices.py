"""Indices that the network makes from its own reference sites: made, refused, and scoring where they hold."""

from dataclasses import replace
from statistics import median, quantiles

import pytest
from sqlmodel import Session

from service.reference import load
from service.review.rescore import rescore_all
from tests.api import Api, Json, visit
from tests.network.reference_network import (
    CATCHES,
    POOR,
    SITES,
    define,
    index_body,
    own_score,
    spring_catch,
    submit_reference,
)

MAY = "2026-05-12T10:15:00-04:00"


def values_by_metric(visits: list[Json]) -> dict[str, list[float]]:
    found: dict[str, list[float]] = {}
    for one in visits:
        for score in one["scores"]:
            found.setdefault(score["index"], []).append(score["value"])
    return found


def sums_by_hand(visits: list[Json]) -> list[int]:
    """Score each visit 5, 3 or 1 on the three metrics, by bounds from the standard library's quantiles."""
    values = values_by_metric(visits)
    bounds = {}
    for metric, worst in (("taxa-richness", 0.0), ("ept-percent", 0.0), ("family-biotic-extended", 10.0)):
        lower, _, upper = quantiles(values[metric], n=4, method="inclusive")  # type 7 of Hyndman and Fan
        best = upper if worst else lower
        bounds[metric] = (best, (best + worst) / 2)
    sums = []
    for number in range(len(visits)):
        points = 0
        for metric, (five, three) in bounds.items():
            turn = -1 if metric == "family-biotic-extended" else 1
            value = turn * values[metric][number]
            points += 5 if value >= turn * five else 3 if value >= turn * three else 1
        sums.append(points)
    return sums


def test_a_definition_is_answered_whole_as_reckoned_a_second_way(api: Api) -> None:
    visits = submit_reference(api)
    assert {one["state"] for one in visits} == {"released"}
    made = define(api)
    assert (made["number"], made["stored"], made["reference_visits"]) == (1, True, 12)
    assert (made["months"], made["lowest_possible"], made["highest_possible"]) == ([4, 5], 3, 15)
    values = values_by_metric(visits)
    for metric in made["metrics"]:
        lower, middle, upper = quantiles(values[metric["index"]], n=4, method="inclusive")
        rises = metric["rises_with_disturbance"]
        assert metric["best"] == metric["scores_5_from"] == pytest.approx(upper if rises else lower)
        assert metric["percentile"] == (75 if rises else 25)
        assert metric["worst"] == (10 if rises else 0)
        assert metric["reference"]["median"] == pytest.approx(middle)
    sums = sums_by_hand(visits)
    by_site = {site: sums[number::3] for number, site in enumerate(SITES)}
    assert made["reference_sites"] == [
        {
            "site": site,
            "visits": 4,
            "lowest": min(scores),
            "median": median(scores),
            "highest": max(scores),
        }
        for site, scores in by_site.items()
    ]
    (threshold, _, _) = quantiles(sums, n=4, method="inclusive")
    top = made["bands"][0]
    assert top["lower"] == min(score for score in range(3, 16, 2) if score >= threshold)
    assert top["reference_visits"] == sum(score >= threshold for score in sums)
    assert sum(band["reference_visits"] for band in made["bands"]) == 12
    assert "wadebook rescore" in made["text"]


@pytest.mark.parametrize("scoring", ["quartiles", "percentiles", "continuous"])
def test_visits_in_its_watershed_and_months_are_scored_by_it(api: Api, scoring: str) -> None:
    api.once(submit_reference)
    define(api, scoring=scoring)
    good = own_score(api.submit(visit(observed_at=MAY, catch=spring_catch(CATCHES[0]))))
    poor = own_score(api.submit(visit(observed_at=MAY, team="b", catch=POOR)))
    assert good is not None
    assert poor is not None
    assert (good["definition"], good["band"]) == (1, "comparable to reference")
    assert poor["band"] in ("clearly changed", "strongly changed")
    assert poor["standing"] == "rated"
    assert poor["low"] <= poor["value"] <= poor["high"]
    listed = api.every("/v1/scores?index=reed-spring")
    assert {row["value"] for row in listed} == {good["value"], poor["value"]}


@pytest.mark.parametrize(
    ("where", "when"),
    [
        ("fern-01", MAY),  # another watershed
        ("reed-02", "2026-06-01T00:15:00-04:00"),  # June
        ("reed-02", "2026-06-01T02:00:00+00:00"),  # June in UTC, the last of May by the site's clock: scored
    ],
)
def test_it_is_never_lent_to_another_watershed_or_season(api: Api, where: str, when: str) -> None:
    api.once(submit_reference)
    define(api)
    score = own_score(api.submit(visit(where, when, catch=spring_catch(CATCHES[0])), "coordinator"))
    assert (score is not None) == when.endswith("+00:00")


def test_a_catch_with_other_gear_is_told_so_and_not_scored(api: Api) -> None:
    submit_reference(api, gear="d-net")
    made = define(api, gear="d-net")
    assert made["reference_visits"] == 12
    scores = {
        gear: own_score(
            api.submit(visit(observed_at=MAY, team=gear, catch=spring_catch(CATCHES[0], gear=gear)))
        )
        for gear in ("d-net", "surber")
    }
    assert scores["d-net"]["standing"] == "rated"
    assert (scores["surber"]["value"], scores["surber"]["standing"]) == (None, "missing")
    assert "d-net" in scores["surber"]["reasons"][0]


def score_anew(api: Api) -> None:
    with Session(api.engine, expire_on_commit=False) as session:
        for _ in rescore_all(session, None):
            session.commit()


def test_stored_visits_get_their_score_when_visits_are_scored_anew(api: Api) -> None:
    visits = submit_reference(api)
    define(api)
    assert api.every("/v1/scores?index=reed-spring") == []
    score_anew(api)
    assert [row["value"] for row in api.every("/v1/scores?index=reed-spring")] == sums_by_hand(visits)


def test_the_same_code_again_is_the_next_definition_and_the_old_one_stays(api: Api) -> None:
    api.once(submit_reference)
    first = define(api)
    second = define(api, scoring="continuous", title="Reed in spring, by percent")
    assert (second["number"], second["highest_possible"]) == (2, 100)
    shown = api.get("/v1/indices/reed-spring").json()
    assert shown == {name: part for name, part in second.items() if name in shown}
    older = api.get("/v1/indices/reed-spring?number=1").json()
    assert older == {name: part for name, part in first.items() if name in older}
    assert [row["number"] for row in api.every("/v1/indices?limit=1")] == [1, 2]
    score = own_score(api.submit(visit(observed_at=MAY, catch=POOR)))
    assert score is not None
    assert score["definition"] == 2


def test_a_dry_run_shows_the_definition_and_stores_nothing(api: Api) -> None:
    api.once(submit_reference)
    answer = api.post("/v1/indices?dry_run=true", index_body())
    assert (answer.status_code, answer.json()["stored"]) == (200, False)
    assert api.every("/v1/indices") == []
    stored = define(api)
    same = set(stored) - {"stored", "created_at"}
    assert {name: stored[name] for name in same} == {name: answer.json()[name] for name in same}


def test_what_is_not_there_is_not_found(api: Api) -> None:
    api.once(submit_reference)
    define(api)
    assert api.get("/v1/indices/reed-autumn").status_code == 404
    assert api.get("/v1/indices/reed-spring?number=2").status_code == 404
    assert api.get("/v1/indices/reed-spring?number=0").status_code == 400


@pytest.mark.parametrize(
    ("change", "pointer", "said"),
    [
        ({"reference_until": "2025-04-30"}, "/reference_sites", "wanted are 10 visits of 3 sites"),
        ({"reference_sites": ["reed-01", "reed-02"]}, "/reference_sites", "8 visits of 2 of these sites"),
        ({"months": [4]}, "/reference_sites", "6 visits of 3 of these sites"),
        ({"gear": "surber"}, "/reference_sites", "12 left out: another gear"),
        ({"reference_sites": [*SITES, "fern-01"]}, "/reference_sites/3", "never borrowed"),
        ({"reference_sites": [*SITES, "moss-09"]}, "/reference_sites/3", "no site moss-09"),
        ({"watershed": {"scheme": "huc", "code": "0208"}}, "/reference_sites/0", "never borrowed"),
        ({"reference_sites": [*SITES, "reed-01"]}, "", "once is enough"),
        ({"months": [4, 4]}, "", "once is enough"),
        ({"months": [13]}, "/months/0", "12"),
        ({"reference_until": "2024-12-31"}, "", "later than"),
        ({"scoring": "guesses"}, "/scoring", "quartiles"),
    ],
)
def test_a_reference_that_does_not_carry_an_index_is_refused(
    api: Api, change: Json, pointer: str, said: str
) -> None:
    api.once(submit_reference)
    refused(api, index_body(**change), pointer, said)


def test_many_visits_of_two_sites_are_too_few_sites(api: Api) -> None:
    submit_reference(api, sites=SITES[:2])
    refused(api, index_body(), "/reference_sites", "12 visits of 2 of these sites")


def refused(api: Api, body: Json, pointer: str, said: str) -> None:
    answer = api.post("/v1/indices", body)
    assert answer.status_code == 422, answer.text
    error = answer.json()["errors"][0]
    assert (error["pointer"], said in error["message"]) == (pointer, True), error
    assert api.every("/v1/indices") == []


def metrics_with(place: int, **more: object) -> Json:
    metrics = index_body()["metrics"]
    return {"metrics": [metric | (more if number == place else {}) for number, metric in enumerate(metrics)]}


@pytest.mark.parametrize(
    ("change", "pointer", "said"),
    [
        (metrics_with(0, index="ccme"), "/metrics/0/index", "no index of the catch"),
        (metrics_with(0, index="shoe-size"), "/metrics/0/index", "no index of the catch"),
        (metrics_with(0, index="ept-percent"), "", "once is enough"),
        ({"metrics": index_body()["metrics"][:2]}, "/metrics", "at least 3"),
        (
            metrics_with(2, rises_with_disturbance=False),
            "/metrics/2/rises_with_disturbance",
            "rises with disturbance",
        ),
        (metrics_with(1, rises_with_disturbance=True), "/metrics/1/worst_value", "say the worst"),
        (metrics_with(0, worst_value=20.0), "/metrics/0", "no better than the worst"),
    ],
)
def test_a_metric_that_cannot_carry_an_index_is_refused(
    api: Api, change: Json, pointer: str, said: str
) -> None:
    api.once(submit_reference)
    refused(api, index_body(**change), pointer, said)


def test_a_metric_that_is_the_same_everywhere_is_refused(api: Api) -> None:
    submit_reference(api, [tuple(number or 1 for number in numbers) for numbers in CATCHES])
    refused(api, index_body(), "/metrics/0", "the same in every reference visit")


def test_only_firm_released_visits_are_a_reference(api: Api) -> None:
    visits = submit_reference(api)
    small = tuple(number // 4 for number in CATCHES[0])
    api.submit(visit("reed-01", "2025-05-20T10:15:00-04:00", readings=[], catch=spring_catch(small)), "otter")
    reject = {"action": "reject", "reason": "another stream"}
    assert api.post(f"/v1/visits/{visits[3]['visit_id']}/decisions", reject).status_code == 200
    made = define(api)
    assert made["reference_visits"] == 11
    assert made["visits_left_out"] == {"a metric is missing or not rated": 1}


def test_scores_by_an_older_definition_are_no_reference_until_visits_are_scored_anew(
    api: Api, monkeypatch: pytest.MonkeyPatch
) -> None:
    api.once(submit_reference)
    catalogue = load.load_catalogue()
    second = replace(catalogue.definitions["ept-percent"], number=2)
    newer = replace(
        catalogue,
        definitions={**catalogue.definitions, "ept-percent": second},
        all_definitions={**catalogue.all_definitions, ("ept-percent", 2): second},
        version="changed",
    )
    monkeypatch.setattr(load, "_of_the_service", lambda: newer)
    refused(
        api, index_body(), "/reference_sites", "12 left out: scored by an older definition: run `wadebook"
    )
    score_anew(api)
    assert [metric["definition"] for metric in define(api)["metrics"]] == [1, 2, 1]


def test_the_code_of_a_catalogue_index_is_taken(api: Api) -> None:
    api.once(submit_reference)
    answer = api.post("/v1/indices", index_body(code="ept-richness"))
    assert (answer.status_code, "choose another code" in answer.text) == (409, True)
