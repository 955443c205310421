"""Does something change at a site over the years? One network of six years, asked in many ways."""

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pymannkendall
import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.migrate import upgrade
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, Json, catch, reading, visit

YEARS, MONTHS = range(2018, 2024), (4, 5, 6, 9)
STRIP = {
    "code": "chloride-card", "name": "Card", "kind": "strip", "parameter": "chloride", "unit": "mg/L",
    "lower": 20, "upper": 200, "step": 20, "reads_zero": False,
}  # fmt: skip
# One value a year, a little different each month, so that no class seems to copy the last visit.
PH = (7.0, 7.2, 7.3, 7.4, 7.7, 7.9)
OXYGEN = (8.0, 9.2, 9.4, 9.0, 9.4, 9.2)
TUBE = (30, 36, 44, 60, 75, 90)
CHLORIDE = (60, 60, 60, 60, 80, 80)
CLEAN_WATER = ("Heptageniidae", "Baetidae", "Ephemerellidae", "Perlidae", "Hydropsychidae", "Caenidae")


def readings_of(year: int, month: int) -> list[Json]:
    nth, place = year - YEARS[0], MONTHS.index(month)
    kit = "oxygen-titrator" if nth else "oxygen-tablet-comparator"
    found = [
        reading("ph", round(PH[nth] + 0.1 * place, 1), kit="ph-meter"),
        reading("dissolved_oxygen", round(OXYGEN[nth] + (0.2 * place if nth else 0), 1), "mg/L", kit=kit),
        reading("transparency", TUBE[nth] + place, "cm", kit=f"transparency-tube-{60 if nth < 3 else 120}"),
        reading("chloride", CHLORIDE[nth], "mg/L", kit="chloride-card"),
        reading("salinity", round(0.2 + 0.01 * place, 2), "PSU"),
    ]
    if nth == 3:
        found[2] = reading("transparency", 60, "cm", censored=">", kit="transparency-tube-60")
    return found


def visits() -> Iterator[Json]:
    for year in YEARS:
        for month in MONTHS:
            kinds = 1 + year - YEARS[0]  # one family more each year, and a small catch in June
            lines = [(name, 4 if month == 6 else 60) for name in CLEAN_WATER[:kinds]]
            sample = catch(*lines, ("Chironomidae", 4 if month == 6 else 60))
            yield visit(
                observed_at=f"{year}-{month:02}-10T10:15:00-05:00",
                readings=readings_of(year, month),
                catch=sample,
            )


@pytest.fixture(scope="module")
def watched(make_database: Callable[[], str]) -> Iterator[Api]:
    """Six years of one site, all released, beside a held visit, a duplicate and a site without any visit."""
    url = make_database()
    upgrade(url)
    with TestClient(create_app(Settings(database_url=url)), raise_server_exceptions=False) as client:
        api = Api(client, client.app.state.engine)
        api.keys |= {"coordinator": api.key(Role.COORDINATOR), "reader": api.key(Role.READER)}
        api.post("/v1/schools", {"code": "heron", "name": "Heron School", "time_zone": "America/New_York"})
        api.keys["heron"] = api.key(Role.SCHOOL, "heron")
        for code in ("reed-02", "reed-03"):
            api.post("/v1/sites", {"code": code, "name": code, "school": "heron", "elevation_m": 20})
        assert api.post("/v1/kits", STRIP).status_code == 201
        for body in visits():
            _release(api, api.submit(body))
        doubted = [reading("ph", 15), reading("salinity", 0.2, "PSU")]
        held = api.submit(visit(observed_at="2017-04-10T10:15:00-05:00", readings=doubted))
        assert held["state"] == "held"
        again = visit(observed_at="2017-04-11T10:15:00-05:00", readings=readings_of(2023, 4))
        _release(api, api.submit(again | {"kind": "field-replicate"}))
        yield api


def _release(api: Api, stored: Json) -> None:
    if stored["state"] == "held":
        decision = {"action": "release", "reason": "a course made up for a test"}
        answer = api.post(f"/v1/visits/{stored['visit_id']}/decisions", decision)
        assert answer.status_code == 200


def trend(api: Api, query: str, site: str = "reed-02", key: str | None = None) -> Json:
    answer = api.get(f"/v1/sites/{site}/trend?{query}", key)
    assert answer.status_code == 200, answer.text
    return answer.json()


def told(found: Json) -> str:
    return " ".join((found["text"], *found["reasons"]))


def test_a_parameter_over_the_years(watched: Api) -> None:
    found = trend(watched, "parameter=ph")
    assert (found["site"], found["parameter"], found["index"], found["unit"]) == (
        "reed-02", "ph", None, "std units",
    )  # fmt: skip
    assert (found["verdict"], found["level"]) == ("rising", 0.05)
    assert found["text"].startswith("pH is rising: ")
    assert (found["years"], found["months"]) == (list(YEARS), list(MONTHS))
    assert (found["method"], found["kits"], found["readings"]) == ("meter", ["ph-meter"], 24)
    assert found["adjusted"] is None
    assert "not adjusted" in told(found)


def test_the_numbers_are_those_of_the_listed_readings(watched: Api) -> None:
    listed = watched.every("/v1/readings?site=reed-02&parameter=ph&limit=1000")
    table = np.array([row["value"] for row in sorted(listed, key=lambda row: row["observed_on"])])
    theirs = pymannkendall.seasonal_test(table, period=len(MONTHS))
    found = trend(watched, "parameter=ph")
    test = found["test"]
    assert (test["s"], test["variance"], test["z"], test["tau"]) == pytest.approx(
        (theirs.s, theirs.var_s, theirs.z, theirs.Tau)
    )
    assert test["method"] == "exact"
    slope = found["slope"]
    assert slope["value"] == pytest.approx(theirs.slope)
    assert slope["unit"] == "std units per year"
    assert slope["low"] <= slope["value"] <= slope["high"]
    change = found["change"]
    assert change["value"] == pytest.approx(5 * theirs.slope)
    assert (change["kit_step"], change["more_than_one_step"], change["unit"]) == (0.1, True, "std units")


def test_each_month_of_each_year_is_listed(watched: Api) -> None:
    found = trend(watched, "parameter=ph")
    assert [(row["year"], row["month"]) for row in found["values"]] == [
        (year, month) for year in YEARS for month in MONTHS
    ]
    assert found["values"][0] == {
        "year": 2018,
        "month": 4,
        "median": {"low": 7.0, "high": 7.0, "text": "7"},
        "readings": 1,
        "compared": True,
    }


def test_only_the_newest_kind_of_kit_is_compared(watched: Api) -> None:
    # a comparator in the first year, read 8 where the titrator reads 9; that is no rise of the oxygen
    found = trend(watched, "parameter=dissolved_oxygen")
    assert (found["method"], found["kits"]) == ("titrator", ["oxygen-titrator"])
    assert (found["readings"], found["readings_left_out"]) == (20, 4)
    assert found["years"] == list(YEARS)[1:]
    assert found["verdict"] == "no trend shown"
    assert "Left out: 4 by comparator." in told(found)


def test_tubes_of_two_lengths_are_compared_up_to_the_shorter(watched: Api) -> None:
    found = trend(watched, "parameter=transparency")
    assert found["limits"] == {"below": None, "above": 60.0, "unit": "cm", "changed": 8}
    assert found["verdict"] == "rising"
    assert found["slope"]["value"] is None  # how far beyond 60 cm nobody knows
    assert found["slope"]["high"] is None
    full = next(row for row in found["values"] if row["year"] == 2021)
    assert full["median"] == {"low": 60.0, "high": None, "text": "at least 60 cm"}


def test_a_kit_of_the_networks_own_gives_its_step(watched: Api) -> None:
    found = trend(watched, "parameter=chloride")
    assert found["change"]["kit_step"] == 20.0
    assert found["change"]["more_than_one_step"] is False
    assert found["test"]["p"] < 0.05
    assert found["verdict"] == "no trend shown"
    assert "may be one jump" in told(found)


def test_readings_without_a_kit_say_so(watched: Api) -> None:
    found = trend(watched, "parameter=salinity")
    assert found["kits"] == []
    assert found["change"]["kit_step"] is None
    assert "Nobody noted with which kit" in told(found)


def test_an_index_over_the_years_takes_only_scores_that_stand(watched: Api) -> None:
    found = trend(watched, "index=ept-richness")
    assert (found["index"], found["parameter"], found["unit"]) == ("ept-richness", None, "")
    assert found["verdict"] == "rising"
    assert found["text"].startswith("The score ept-richness is rising: ")
    assert "better or worse" in told(found)
    assert found["months"] == [4, 5, 9]  # June's catches were too small
    assert {row["month"] for row in found["values"]} == {4, 5, 9}
    assert (found["method"], found["readings"]) == ("definition 1", 18)
    assert found["slope"]["unit"] == "per year"


@pytest.mark.parametrize(
    ("query", "years"), [("&from=2020-01-01", [2020, 2021, 2022, 2023]), ("&to=2018-12-31", [2018])]
)
def test_too_few_years_are_said_to_be_too_few(watched: Api, query: str, years: list[int]) -> None:
    found = trend(watched, f"parameter=ph{query}")
    assert found["verdict"] == "not enough data"
    assert found["years"] == years
    assert f"values in {len(years)} year" in found["text"]
    assert (found["test"], found["slope"], found["change"]) == (None, None, None)
    assert {row["compared"] for row in found["values"]} == {False}


def test_nothing_measured_is_not_enough_data(watched: Api) -> None:
    for found in (trend(watched, "parameter=turbidity"), trend(watched, "parameter=ph", "reed-03")):
        assert (found["verdict"], found["values"], found["method"]) == ("not enough data", [], None)


@pytest.mark.parametrize("key", ["heron", "reader", "coordinator"])
def test_everybody_reads_the_same_answer(watched: Api, key: str) -> None:
    # the held visit of 2017, whose salinity nobody doubts, and the duplicate are in nobody's
    found = trend(watched, "parameter=salinity", key=key)
    assert found == trend(watched, "parameter=salinity")
    assert found["years"] == list(YEARS)


@pytest.mark.parametrize(
    ("address", "status", "words"),
    [
        ("reed-02/trend", 400, "either parameter"),
        ("reed-02/trend?parameter=ph&index=ept-richness", 400, "not both"),
        ("reed-02/trend?parameter=acidity", 400, "/v1/catalogue/parameters"),
        ("reed-02/trend?index=acidity", 400, "/v1/catalogue/indices"),
        ("reed-02/trend?parameter=ph&month=4", 400, "month is not known"),
        ("reed-02/trend?parameter=ph&from=2023-01-01&to=2022-01-01", 400, "from is later than to"),
        ("nowhere/trend?parameter=ph", 404, "no site nowhere"),
    ],
)
def test_what_cannot_be_asked_is_refused(watched: Api, address: str, status: int, words: str) -> None:
    answer: Any = watched.get(f"/v1/sites/{address}")
    assert (answer.status_code, answer.headers["content-type"]) == (status, "application/problem+json")
    assert words in answer.json()["detail"]
