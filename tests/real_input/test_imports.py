"""Real files go in through the mappings written for them, and every row of them is accounted for.

Each total is pinned: rows of the file = stored + held + merged + left out + refused. The counts of rows are
those that the folder's README gives; of files of many thousand rows the first go in here, and all with
`python -m tests.soak.open_data`. Printed with ``pytest -s``.
"""

import json
from collections import Counter
from datetime import UTC, datetime
from pathlib import Path

import pytest

from service.core.settings import Settings
from service.intake.imports.from_disk import import_from_disk
from service.intake.imports.judge import ImportOrder
from tests.api import Api, Json
from tests.real_input.sets import SCHOOL, SETS, RealSet

on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
FIRST = 120
KEPT = {
    "Dissolved Ammonia", "Dissolved Chloride", "Dissolved Hardness", "Dissolved ortho-Phosphate",
    "Specific Conductance", "Total Alkalinity", "pH",
}  # fmt: skip
WHOLE: dict[str, tuple[int, dict[str, int]]] = {
    "state-lab-2022-north-latin1.csv": (790, {"stored": 78, "merged": 125, "left_out": 587}),
    "do-run-2021.xlsx": (15, {"held": 5, "left_out": 10}),
    "one-river-six-sites-four-seasons.csv": (24, {"refused": 24}),
    "national-exchange-results-small.csv": (5, {"stored": 5}),
}
BEGINNING: dict[str, tuple[int, dict[str, int]]] = {
    "class-kick-sample-counts.csv": (FIRST, {"stored": 4, "merged": 116}),
    "class-meter-readings.csv": (FIRST, {"stored": 81, "merged": 29, "refused": 10}),
    "volunteer-ecoli-do-2009-2019.csv": (FIRST, {"stored": 117, "held": 1, "refused": 2}),
    "federal-cruise-2017-2019.csv": (FIRST, {"stored": 6, "merged": 6, "left_out": 108}),
    "wsa-field-chemistry-latin1.csv": (FIRST, {"stored": 111, "held": 5, "refused": 4}),
    # Held: names of no family of the list, Dikerogammarus (its family is in dispute) and Orchestia.
    "alien-macroinvertebrates-to-2003.tsv": (FIRST, {"stored": 92, "held": 6, "merged": 19, "left_out": 3}),
}


def take_in(api: Api, found: RealSet, file: Path, folder: Path, **order: bool) -> Json:
    """Take in a file as `wadebook import` does, and return its report."""
    report = folder / "report.json"
    settings = Settings(database_url=api.engine.url.render_as_string(hide_password=False))
    import_from_disk(api.engine, settings, ImportOrder(SCHOOL, **order), file, str(found.mapping), report)
    told: Json = json.loads(report.read_text())
    assert sum(told["totals"].values()) == told["rows_count"] == len(told["rows"])
    return told


def fates(told: Json) -> dict[str, int]:
    return {fate: rows for fate, rows in told["totals"].items() if rows}


def reasons(told: Json, fate: str) -> dict[int, str]:
    """Return what is said of each row of a fate."""
    return {
        row["row"]: "; ".join(
            f"{one['column']}: {one['value']}: {one['reason']}" for one in row["problems"] + row["remarks"]
        )
        for row in told["rows"]
        if row["fate"] == fate
    }


@on_sqlite
@pytest.mark.parametrize("name", SETS)
def test_every_row_has_its_fate_and_sending_again_doubles_nothing(
    empty_api: Api, tmp_path: Path, name: str
) -> None:
    found = SETS[name]
    rows, totals = WHOLE.get(name) or BEGINNING[name]
    file = found.path if name in WHOLE else found.beginning(FIRST, tmp_path)
    found.enter_sites(empty_api, file)
    told = take_in(empty_api, found, file, tmp_path)
    again = take_in(empty_api, found, file, tmp_path)
    print(f"\n{name}: {told['rows_count']} rows, {fates(told)}; sent again {fates(again)}")
    assert (told["rows_count"], fates(told)) == (rows, totals)
    taken = totals.get("stored", 0) + totals.get("held", 0)
    untaken = {fate: number for fate, number in totals.items() if fate not in ("stored", "held")}
    assert fates(again) == untaken | ({"known": taken} if taken else {})


@on_sqlite
def test_a_laboratory_s_limits_are_limits_and_its_own_controls_stay_out(
    empty_api: Api, tmp_path: Path
) -> None:
    found = SETS["state-lab-2022-north-latin1.csv"]
    found.enter_sites(empty_api)
    told = take_in(empty_api, found, found.path, tmp_path)
    why = Counter(reason.rpartition(": ")[2] for reason in reasons(told, "left_out").values())
    assert (why["a spike or a duplicate"], why["not public"], why["a blank line or a footnote"]) == (55, 7, 1)
    readings = empty_api.every("/v1/readings?limit=1000", "coordinator")
    written = [row for row in found.records() if row["Notes"] == "" and row["Data Status"][:4] != "1000"]
    limits = [row["Result"] for row in written if row["Analyte"] in KEPT and row["Result"].startswith("<")]
    censored = [f"<{row['value']:g}" for row in readings if row["censored"] == "<"]
    assert sorted(censored, key=str) == sorted((f"<{float(limit[1:]):g}" for limit in limits), key=str)


@on_sqlite
def test_fahrenheit_feet_and_the_clock_of_summer_in_a_workbook(empty_api: Api, tmp_path: Path) -> None:
    found = SETS["do-run-2021.xlsx"]
    found.enter_sites(empty_api)
    take_in(empty_api, found, found.path, tmp_path)
    visit = next(
        one for one in empty_api.every("/v1/visits?state=held", "coordinator") if one["site"] == "14"
    )
    whole = empty_api.get(f"/v1/visits/{visit['visit_id']}", "coordinator").json()
    # 76.8 degF is 24.9 degC, 36.4 ft are 11.09 m (NIST SP 811, appendix B); noon of summer's clock is 19 UTC
    assert whole["conditions"]["air_temperature_c"] == pytest.approx(24.9, abs=0.05)
    depth = next(row for row in whole["readings"] if row["parameter"] == "water_depth")
    assert depth["value"] == pytest.approx(11.09, abs=0.01)
    assert datetime.fromisoformat(whole["private"]["observed_at"]) == datetime(2021, 9, 10, 19, tzinfo=UTC)


@on_sqlite
@pytest.mark.parametrize(
    ("name", "why", "share"),
    [
        ("one-river-six-sites-four-seasons.csv", "is not a date", 24),
        ("class-meter-readings.csv", "gives no time of day", 10),
        ("wsa-field-chemistry-latin1.csv", "no reading and no animal", 4),
    ],
)
def test_what_nobody_can_know_is_refused_with_its_reason(
    empty_api: Api, tmp_path: Path, name: str, why: str, share: int
) -> None:
    found = SETS[name]
    file = found.path if name in WHOLE else found.beginning(FIRST, tmp_path)
    found.enter_sites(empty_api, file)
    refused = reasons(take_in(empty_api, found, file, tmp_path, dry_run=True), "refused")
    assert len(refused) == share
    assert all(why in reason for reason in refused.values()), refused


@on_sqlite
def test_a_clock_without_its_nought_and_micromoles(empty_api: Api, tmp_path: Path) -> None:
    found = SETS["federal-cruise-2017-2019.csv"]
    found.enter_sites(empty_api)
    take_in(empty_api, found, found.beginning(FIRST, tmp_path), tmp_path)
    first = empty_api.every("/v1/visits?site=18", "coordinator")[0]
    whole = empty_api.get(f"/v1/visits/{first['visit_id']}", "coordinator").json()
    # 752 of a winter morning on the Pacific coast; 9.50 umol/L of ammonium are 0.133 mg/L as N
    assert datetime.fromisoformat(whole["private"]["observed_at"]) == datetime(
        2017, 1, 11, 15, 52, tzinfo=UTC
    )
    ammonia = next(row for row in whole["readings"] if row["parameter"] == "ammonia")
    assert (ammonia["value"], ammonia["unit"]) == (pytest.approx(9.50 * 14.0067 / 1000), "mg/L as N")


@on_sqlite
def test_finds_without_counts_are_kept_under_the_names_they_were_sent_with(
    empty_api: Api, tmp_path: Path
) -> None:
    found = SETS["alien-macroinvertebrates-to-2003.tsv"]
    found.enter_sites(empty_api)
    told = take_in(empty_api, found, found.beginning(FIRST, tmp_path), tmp_path)
    assert set(reasons(told, "left_out").values()) == {": : no day is known, only a year"}
    sent = [row["nameserver_recommended_scientific_name"] for row in found.records()[:FIRST]]
    taken = [one for one in told["visits"] if one["site"]]
    lines = [
        line
        for one in taken
        for line in empty_api.get(f"/v1/visits/{one['visit_id']}", "coordinator").json()["catch"]["counts"]
    ]
    assert {line["written_name"] for line in lines} <= set(sent)
    assert {(line["count"], line["abundance"]) for line in lines} == {(None, "P")}
