"""Every row of the volunteers is handed in, accounted for and read back, and what the checks doubt is judged.

Facts about the file are those of its description: 2,582 rows, 756 without a time, 170 duplicates, of 88
values at the ceiling of the method 28 without their mark. What is an error in it was judged by hand; ``-s``
shows the tables.
"""

from collections import Counter
from collections.abc import Iterator
from datetime import datetime
from typing import Any

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.migrate import upgrade
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, Json
from tests.databases import new_sqlite, spare_the_disk
from tests.real_input.class_files import ABSENT, Row, grouped, rows_of
from tests.real_input.handed_in import Doubt, HandedIn, in_short, print_fates
from tests.real_input.volunteers import (
    CEILING,
    MEASURED,
    READINGS_FILE,
    SITES_FILE,
    ZONE,
    site_of,
    visit_key,
    visit_of,
)

ROWS, WITHOUT_TIME, DUPLICATES = 2582, 756, 170
NOT_A_SITE = {"Grand Total", ""}
NOT_IN_THE_LIST = {"Site_Name": "PL050", "lat": "0.0", "long": "0.0"}
Reading = tuple[str, str, int]  # visit, parameter and replicate

# The percent is lower than that of the mg/L at sea level, and a higher site only widens the gap. At sea level
# fresh water in balance with the air holds 10.7 mg/L at 12.4 degC, so 12.86 mg/L are 120 % and not 92.5.
PERCENT_TOO_LOW = {
    "DG010 2017-06-03 07:46:00 routine",
    "M030 2013-08-10 07:30:00 routine",
    "PL040 2016-06-18 05:40:00 routine",
    "M030 2010-07-31 06:15:00 routine",
    "PI010 2012-08-25 07:37:00 routine",
}
# The percent is higher than the mg/L give up to 100 m, and the river soon meets the sea.
PERCENT_TOO_HIGH = {
    "P089 2017-08-26 07:55:00 routine",
    "PL040 2010-07-03 05:48:00 routine",
    "PL040 2016-06-04 05:40:00 routine",
}
PAIRS_APART = PERCENT_TOO_LOW | PERCENT_TOO_HIGH
# All four numbers and the duplicate are those of P030 in the same minute.
COPIED_FROM_ANOTHER_SITE = "M010 2017-08-12 07:42:00 routine"
# Cold water of a brook under the code of the wide river, an hour from a reading of 19 to 24 degC there.
# The later of a pair is asked: beside each stands the good one of the river.
OF_ANOTHER_SITE = {
    "P060 2017-06-17 07:25:00 duplicate": "P060 2017-06-17 07:50:00 routine",
    "P060 2017-08-12 08:37:00 duplicate": "P060 2017-08-12 07:30:00 routine",
    "P060 2017-08-26 06:50:00 routine": "P060 2017-08-26 08:08:00 duplicate",
    "P060 2017-09-23 09:07:00 duplicate": "P060 2017-09-23 08:12:00 routine",
}
CANNOT_TELL = {
    ("TA010 2017-08-12 08:40:00 routine", "water_temperature"),  # 12.8 in a week of 17 to 20: 17.8 perhaps
    ("N010 2010-07-03 06:22:00 routine", "water_temperature"),  # 10.1 in July
    ("PI020 2014-07-12 07:55:00 routine", "dissolved_oxygen"),  # 128 % so early, and the pair agrees
    ("PI020 2014-07-12 07:55:00 routine", "dissolved_oxygen_saturation"),
}
MOST_FALSE_SHARE = 0.01


@pytest.fixture(scope="module")
def answers_to_sites() -> dict[str, Any]:
    """What the service said to each line of the list of sites."""
    return {}


@pytest.fixture(scope="module")
def handed_in(
    tmp_path_factory: pytest.TempPathFactory, answers_to_sites: dict[str, Any]
) -> Iterator[HandedIn]:
    """Every row in the order of time; SQLite alone, for 2,440 visits take a while."""
    rows = grouped(rows_of(READINGS_FILE), visit_key)
    url = new_sqlite(tmp_path_factory.mktemp("volunteers"))
    upgrade(url)
    with TestClient(create_app(Settings(database_url=url)), raise_server_exceptions=False) as client:
        api = Api(client, client.app.state.engine)
        spare_the_disk(api.engine)
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        school = {"code": "volunteers", "name": "River Volunteers", "time_zone": ZONE}
        assert api.post("/v1/schools", school).status_code == 201
        api.keys["volunteers"] = api.key(Role.SCHOOL, "volunteers")
        for row in (*rows_of(SITES_FILE), NOT_IN_THE_LIST):
            answers_to_sites[row["Site_Name"]] = api.post("/v1/sites", site_of(row))
        bodies = {key: visit_of(of_visit) for key, of_visit in rows.items()}
        in_time = sorted(bodies, key=lambda key: (bodies[key]["observed_at"], key))
        answers = {key: api.post("/v1/visits", bodies[key], "volunteers") for key in in_time}
        documents = {key: answer.json() for key, answer in answers.items() if answer.status_code == 201}
        yield HandedIn(api, rows, {}, bodies, answers, documents)


@pytest.fixture(scope="module")
def doubted(handed_in: HandedIn) -> dict[Reading, list[Doubt]]:
    found: dict[Reading, list[Doubt]] = {}
    for key, doubt in handed_in.doubts():
        found.setdefault((key, doubt.parameter, doubt.replicate or 0), []).append(doubt)
    return found


def bacteria(handed_in: HandedIn, flagged: str) -> list[tuple[Row, Json]]:
    """Return row and stored reading of the values at the ceiling, by their mark in the file."""
    return [
        (row, document["readings"][4 * place + 3])
        for key, document in handed_in.documents.items()
        for place, row in enumerate(handed_in.readings[key])
        if row["Flag"] == flagged and row["Ecoli"] == str(CEILING)
    ]


def test_every_row_is_released_held_refused_or_merged(handed_in: HandedIn) -> None:
    fates = [
        "merged into the visit of the same moment" if place else handed_in.fate(key)
        for key, rows in handed_in.readings.items()
        for place, _ in enumerate(rows)
    ]
    print_fates("rows of the volunteers", fates)
    counted = Counter(map(in_short, fates))
    assert counted["released"] + counted["held"] + counted["refused"] + counted["merged"] == ROWS
    assert counted["refused"] == WITHOUT_TIME
    assert all(": " in fate for fate in fates if fate.startswith("held"))


def test_rows_are_refused_for_want_of_a_time_alone(handed_in: HandedIn) -> None:
    for key in handed_in.bodies.keys() - handed_in.documents.keys():
        (error,) = handed_in.answers[key].json()["errors"]
        assert error["pointer"] == "/observed_at", key
        assert [row["Time"] for row in handed_in.readings[key]] == [ABSENT], key


def test_the_list_of_sites_is_taken_but_for_what_is_no_site(
    handed_in: HandedIn, answers_to_sites: dict[str, Any]
) -> None:
    refused = {name for name, answer in answers_to_sites.items() if answer.status_code != 201}
    assert refused == NOT_A_SITE
    assert all(answers_to_sites[name].json()["errors"][0]["pointer"] == "/code" for name in refused)
    sites = handed_in.api.every("/v1/sites?limit=1000", "coordinator")
    print_fates("lines of the list", ["refused"] * len(refused) + ["site"] * (len(sites) - 1))
    assert {row["Site"].lower() for rows in handed_in.readings.values() for row in rows} == {
        site["code"] for site in sites
    }
    nowhere = {site["code"] for site in sites if site["latitude"] is None}
    assert nowhere == {"p140", "pl045", "sw020", "pl050"}


def test_each_written_value_reads_back_with_its_replicate_and_mark(handed_in: HandedIn) -> None:
    cells: Counter[str] = Counter()
    for key, document in handed_in.documents.items():
        stored = {(one["parameter"], one["replicate"]): one for one in document["readings"]}
        assert len(stored) == len(MEASURED) * len(handed_in.readings[key])
        for replicate, row in enumerate(handed_in.readings[key], start=1):
            for column, (parameter, unit) in MEASURED.items():
                wanted = None if row[column] == ABSENT else float(row[column])
                mark = ">" if column == "Ecoli" and row["Flag"] == "TRUE" else None
                written = stored[parameter, replicate]["written"]
                assert written == {"value": wanted, "unit": unit, "censored": mark}, (key, column)
                cells["sent as missing" if wanted is None else "sent with its value"] += 1
    print_fates("cells of the rows that have a time", cells.elements())
    assert cells.total() == (ROWS - WITHOUT_TIME) * len(MEASURED)


@pytest.mark.parametrize("kind", ["routine", "field-replicate"])
def test_the_list_of_a_kind_holds_every_visit_of_it_once(handed_in: HandedIn, kind: str) -> None:
    visits = handed_in.api.every(f"/v1/visits?kind={kind}&limit=1000", "coordinator")
    assert sorted(
        (row["visit_id"], row["site"], row["observed_on"], row["state"]) for row in visits
    ) == sorted(
        (body["visit_id"], body["site"], body["observed_at"][:10], in_short(handed_in.fate(key)))
        for key, body in handed_in.bodies.items()
        if key in handed_in.documents and body["kind"] == kind
    )


def test_date_and_clock_are_those_of_the_row(handed_in: HandedIn) -> None:
    for key, document in handed_in.documents.items():
        first = handed_in.readings[key][0]
        at = datetime.fromisoformat(document["private"]["observed_at"])
        assert at.strftime("%Y-%m-%d %H:%M:%S") == f"{first['Date']} {first['Time']}"


def test_duplicates_stay_out_of_the_past_of_their_site(handed_in: HandedIn) -> None:
    duplicates = [key for key, document in handed_in.documents.items() if document["kind"] != "routine"]
    rows = [row for key in handed_in.readings for row in handed_in.readings[key] if row["QC"] == "D"]
    timed = [row for row in rows if row["Time"] != ABSENT]
    assert (len(rows), len(duplicates)) == (DUPLICATES, len(timed))
    clock = [doubt for _, doubt in handed_in.doubts() if doubt.check == "visit-clock"]
    assert clock == []  # a duplicate in the minute of its visit is not taken for a second sending


def test_a_marked_ceiling_is_kept_as_more_than_the_ceiling(handed_in: HandedIn) -> None:
    marked = bacteria(handed_in, "TRUE")
    assert len(marked) == 55
    for row, reading in marked:
        assert (reading["value"], reading["censored"]) == (CEILING, ">"), row
        assert (reading["low"], reading["high"]) == (CEILING, None), row


def test_an_unmarked_ceiling_is_taken_as_more_than_the_ceiling(handed_in: HandedIn) -> None:
    # All 16 are of 2014, a year without a single mark: a habit of the list and not of the water.
    unmarked = bacteria(handed_in, "FALSE")
    assert len(unmarked) == 16
    assert [row for row, reading in unmarked if reading["censored"] != ">"] == []


def test_a_limit_that_differs_by_its_rounding_is_not_doubted(
    handed_in: HandedIn, doubted: dict[Reading, list[Doubt]]
) -> None:
    # "> 2419.2" for "> 2419.6": all ten of one wet morning, 0.02 % apart.
    rounded = {
        (key, "e_coli", place)
        for key in handed_in.documents
        for place, row in enumerate(handed_in.readings[key], start=1)
        if (row["Flag"], row["Ecoli"]) == ("TRUE", "2419.2")
    }
    assert len(rounded) == 10
    assert rounded & set(doubted) == set()


def apart(document: Json) -> bool:
    return any(
        check["check"] == "oxygen-pair" and check["flag"] == 3
        for reading in document["readings"]
        for check in reading["checks"]
    )


def test_mg_per_l_and_percent_that_no_elevation_explains_are_doubted(handed_in: HandedIn) -> None:
    assert [key for key in sorted(PERCENT_TOO_LOW) if not apart(handed_in.documents[key])] == []


@pytest.mark.parametrize("elevation_m", [0, 100])
def test_mg_per_l_and_percent_apart_are_doubted_once_the_elevation_is_known(
    handed_in: HandedIn, elevation_m: float
) -> None:
    for key in sorted(PAIRS_APART):
        body = handed_in.bodies[key] | {"visit_id": None}
        address = f"/v1/sites/{body['site']}"
        patched = handed_in.api.call("PATCH", address, "coordinator", json={"elevation_m": elevation_m})
        assert patched.status_code == 200
        answer = handed_in.api.post("/v1/visits?dry_run=true", body, "volunteers")
        assert apart(answer.json()), key


def test_a_duplicate_that_is_of_another_site_is_doubted(handed_in: HandedIn) -> None:
    for pair in OF_ANOTHER_SITE.items():
        assert "held" in {handed_in.documents[key]["state"] for key in pair}, pair


def test_few_good_readings_are_doubted(handed_in: HandedIn, doubted: dict[Reading, list[Doubt]]) -> None:
    wrong = PAIRS_APART | {*OF_ANOTHER_SITE, *OF_ANOTHER_SITE.values(), COPIED_FROM_ANOTHER_SITE}
    good = {
        (key, reading["parameter"], reading["replicate"])
        for key, document in handed_in.documents.items()
        for reading in document["readings"]
        if reading["value"] is not None
        and (key, reading["parameter"]) not in CANNOT_TELL
        and not (key in wrong and reading["parameter"] != "e_coli")
    }
    false = sorted(good & set(doubted))
    wrong_rows = [key for key in sorted(wrong) if key in {found for found, *_ in doubted}]
    print(f"\nof {len(wrong)} rows that are wrong doubted: {', '.join(wrong_rows) or 'none'}")
    print(f"\n{len(false)} of {len(good)} good readings doubted ({100 * len(false) / len(good):.2f} %):")
    for reading in false:
        for doubt in doubted[reading]:
            print(f"  {reading[0]} {reading[1]} {doubt.value:g}  {doubt.check} {doubt.flag}  {doubt.message}")
    assert len(false) <= MOST_FALSE_SHARE * len(good)
