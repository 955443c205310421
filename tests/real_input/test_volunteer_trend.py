"""Do the volunteers' river and brooks change over the years? The answers for sites with long records.

The rows of 2018 and 2019 have no time but for six and are refused: nine summers remain, at some sites ten.
``-s`` shows every verdict.
"""

from collections import defaultdict
from collections.abc import Iterator
from statistics import median

import numpy as np
import pymannkendall
import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.migrate import upgrade
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, Json
from tests.databases import new_sqlite, spare_the_disk
from tests.real_input.class_files import ABSENT, grouped, rows_of
from tests.real_input.handed_in import HandedIn
from tests.real_input.volunteers import (
    READINGS_FILE,
    SITES_FILE,
    ZONE,
    site_of,
    visit_key,
    visit_of,
)

SITES = ("P020", "P030", "DB010", "M010", "OB010", "PI010", "PL040", "BB010")
FOLLOWED = {"DO": "dissolved_oxygen", "Temp": "water_temperature", "Ecoli": "e_coli"}
FEWEST_YEARS = 5


@pytest.fixture(scope="module")
def handed_in(tmp_path_factory: pytest.TempPathFactory) -> Iterator[HandedIn]:
    """Every row of the sites with the longest records, in the order of time; SQLite alone."""
    rows = grouped((row for row in rows_of(READINGS_FILE) if row["Site"] in SITES), visit_key)
    url = new_sqlite(tmp_path_factory.mktemp("volunteer-trend"))
    upgrade(url)
    with TestClient(create_app(Settings(database_url=url)), raise_server_exceptions=False) as client:
        api = Api(client, client.app.state.engine)
        spare_the_disk(api.engine)
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        school = {"code": "volunteers", "name": "River Volunteers", "time_zone": ZONE}
        assert api.post("/v1/schools", school).status_code == 201
        api.keys["volunteers"] = api.key(Role.SCHOOL, "volunteers")
        for row in rows_of(SITES_FILE):
            if row["Site_Name"] in SITES:
                assert api.post("/v1/sites", site_of(row)).status_code == 201
        bodies = {key: visit_of(of_visit) for key, of_visit in rows.items()}
        in_time = sorted(bodies, key=lambda key: (bodies[key]["observed_at"], key))
        answers = {key: api.post("/v1/visits", bodies[key], "volunteers") for key in in_time}
        documents = {key: answer.json() for key, answer in answers.items() if answer.status_code == 201}
        yield HandedIn(api, rows, {}, bodies, answers, documents)


def trend(handed_in: HandedIn, site: str, parameter: str) -> Json:
    answer = handed_in.api.get(f"/v1/sites/{site.lower()}/trend?parameter={parameter}")
    assert answer.status_code == 200, answer.text
    return answer.json()


def released_months(handed_in: HandedIn, site: str, column: str) -> dict[int, dict[int, float]]:
    """Return the median of each month and year from the rows of released visits, without the service."""
    found: defaultdict[tuple[int, int], list[float]] = defaultdict(list)
    for key, document in handed_in.documents.items():
        for row in handed_in.readings[key]:
            counts = document["state"] == "released" and row["QC"] != "D" and row[column] != ABSENT
            if row["Site"] == site and counts:
                found[int(row["Date"][5:7]), int(row["Date"][:4])].append(float(row[column]))
    months: defaultdict[int, dict[int, float]] = defaultdict(dict)
    for (month, year), values in found.items():
        months[month][year] = median(values)
    return {month: years for month, years in sorted(months.items()) if len(years) >= FEWEST_YEARS}


def test_every_site_gets_an_answer_that_says_what_limits_it(handed_in: HandedIn) -> None:
    states = [document["state"] for document in handed_in.documents.values()]
    print(f"\n{len(states)} visits of {len(SITES)} sites, {states.count('held')} held")
    for parameter in FOLLOWED.values():
        for site in SITES:
            found = trend(handed_in, site, parameter)
            years = found["years"]
            adjusted = f", adjusted {found['adjusted']['p']:.3f}" if found["adjusted"] else ""
            print(
                f"{site:6} {parameter:18} {found['verdict']:15} {years[0]}-{years[-1]} ({len(years)} years)  "
                f"p {found['test']['p']:.3f}{adjusted}  {found['slope']['text']}"
            )
            assert found["months"] == [5, 6, 7, 8]
            assert (found["adjusted"] is None) == (len(years) < 10)
            assert any("not adjusted" in reason for reason in found["reasons"]) == (len(years) < 10)


@pytest.mark.parametrize("site", SITES)
@pytest.mark.parametrize("column", ["DO", "Temp", "Ecoli"])
def test_the_answer_is_that_of_the_rows_of_the_file(handed_in: HandedIn, site: str, column: str) -> None:
    found = trend(handed_in, site, FOLLOWED[column])
    if found["limits"]:
        assert column == "Ecoli"  # full trays; what they leave open is not a number to recompute
        return
    months = released_months(handed_in, site, column)
    years = sorted({year for values in months.values() for year in values})
    assert (found["years"], found["months"]) == (years, list(months))
    # A year without any visit keeps its place, so that a slope of theirs is one a year.
    span = range(years[0], years[-1] + 1)
    table = np.array([[values.get(year, np.nan) for values in months.values()] for year in span])
    theirs = pymannkendall.seasonal_test(table.ravel(), period=len(months))
    test = found["test"]
    assert (test["s"], test["variance"], test["tau"]) == pytest.approx(
        (theirs.s, theirs.var_s, theirs.Tau), abs=1e-6
    )
    assert test["p"] == pytest.approx(theirs.p, abs=0.01)  # counted here, by the normal curve there
    assert found["slope"]["value"] == pytest.approx(theirs.slope)
    named = found["verdict"] in ("rising", "falling")
    assert named == (test["p"] < 0.05 and (found["adjusted"] or test)["p"] < 0.05)


def test_full_trays_leave_bounds_and_no_invented_number(handed_in: HandedIn) -> None:
    cut = [found for site in SITES if (found := trend(handed_in, site, "e_coli"))["limits"]]
    assert cut
    for found in cut:
        above = found["limits"]["above"]
        assert above <= 2419.6
        lost = [
            row
            for row in found["values"]
            if row["compared"] and (row["median"]["high"] is None or row["median"]["low"] > above)
        ]
        assert found["limits"]["changed"] in (len(lost), len(lost) - 1)  # one of them is the limit
