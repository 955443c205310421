"""Write the invented demo network: visits, readings, counts, and what the service must say of them.

Run ``python demo_data/make_network.py``: the same bytes come out every time.
"""

import sys
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

import numpy as np
from catches import PLANTED, catch_weeks, take_catch
from class_kits import kits_of, measure
from outings import OUTINGS as PLANTED_OUTINGS
from planted_faults import plant
from planted_outings import plant_outings
from records import Site, Visit, read_sites, reading_row, version_7, visit_row, write_table
from stream_model import SEED, Week, school_weeks, season, site_character, water_at, week_air_c

# School -> weekday of the outing (0 Monday) and the time of its first team; the next teams follow at
# the next sites.
OUTINGS: dict[str, tuple[int, int, int]] = {
    "lanternfield": (1, 9, 35),
    "quillmere": (2, 10, 5),
    "otterlow": (1, 10, 10),
    "pebblegate": (3, 9, 50),
    "copperleaf": (1, 9, 40),
    "wrenfold": (2, 9, 30),
    "tansyford": (3, 10, 0),
    "harrowmoss": (2, 10, 20),
}
MINUTES_BETWEEN_TEAMS = 45
CANCELLED_SHARE = 0.07
CANCELLED_WHEN_FROZEN_SHARE = 0.75
REMARKS = (
    "kingfisher seen",
    "leaves in the water",
    "cows on the far bank",
    "tube read by two of us",
    "foam at the bend",
    "new gravel bar since last week",
    "bottle rinsed three times",
)
VISIT_COLUMNS = (
    "visit_id,site,observed_at,team,air_temperature_c,weather,rain_48h_mm,flow,ice,notes,"
    "gear,minutes,area_m2,count_scheme,kind,latitude,longitude,dead_fish"
)
READING_COLUMNS = (
    "visit_id,parameter,value,censored,unit,kit,replicate,"
    "seconds_in_water,minutes_waited,bubble_free,undisturbed_water,kit_lot,tablets,sample_ml"
)


def make_visits(sites: list[Site], weeks: list[Week]) -> list[Visit]:
    """Return the ordinary visits of all sites, in the order in which devices made their ids."""
    netting = catch_weeks(weeks)
    visits = []
    for site in sites:
        team = 1 + sum(other.school == site.school for other in sites[: site.number])
        for week in weeks:
            rng = np.random.default_rng([SEED, site.number, week.index + 1])
            cancelled = CANCELLED_WHEN_FROZEN_SHARE if week.frozen else CANCELLED_SHARE
            stays_home = rng.random() < cancelled and week.index not in netting
            visit = make_visit(site, week, team, rng)
            if stays_home or visit.observed_at.date() < site.established_on:
                continue
            if week.index in netting:
                visit.catch = take_catch(visit, *netting[week.index], rng)
            visits.append(visit)
    return sorted(visits, key=lambda visit: visit.made_at)


def make_visit(site: Site, week: Week, team: int, rng: np.random.Generator) -> Visit:
    """Return one ordinary visit with its readings."""
    weekday, hour, minute = OUTINGS[site.school]
    day = week.monday + timedelta(days=weekday)
    start = datetime(day.year, day.month, day.day, hour, minute, tzinfo=ZoneInfo(site.time_zone))
    observed_at = start + timedelta(minutes=(team - 1) * MINUTES_BETWEEN_TEAMS + int(rng.integers(0, 11)))
    made_at = observed_at + timedelta(
        minutes=int(rng.integers(15, 40)), milliseconds=int(rng.integers(0, 60_000))
    )
    water = water_at(site, site_character(site), week, observed_at, rng)
    air_c = week_air_c(week.monday, week.anomaly_c) + float(rng.normal(0, 2))
    air_c = max(air_c, water.water_temperature - 8)
    visit = Visit(
        visit_id=version_7(made_at, rng),
        site=site,
        observed_at=observed_at,
        made_at=made_at,
        week=week.index,
        storm=week.storm,
        team=f"period-{team + weekday}",
        air_temperature_c=round(air_c * 2) / 2,
        weather="rain" if week.storm else str(rng.choice(["clear", "partly-cloudy", "overcast", "overcast"])),
        rain_48h_mm=rain_mm(week, rng),
        flow="high" if week.storm else "low" if season(day, 225) > 0.6 and rng.random() < 0.5 else "normal",
        ice=ice_at(water.water_temperature, air_c),
        notes=str(rng.choice(REMARKS)) if rng.random() < 0.05 else "",
    )
    visit.readings = measure(water, kits_of(site.school, week.school_year), week.index, rng)
    return visit


def rain_mm(week: Week, rng: np.random.Generator) -> float:
    """Return the rain of the last 48 hours [mm], in half millimetres."""
    millimetres = rng.uniform(24, 46) if week.storm else max(0.0, rng.normal(-1, 3))
    return round(float(millimetres) * 2) / 2


def ice_at(water_c: float, air_c: float) -> str:
    """Return the ice at the site: none, edge or cover."""
    if water_c > 0.8 or air_c > 0:
        return "none"
    return "cover" if air_c < -6 else "edge"


def score_rows(visits: list[Visit], weeks: list[Week]) -> list[tuple[str, ...]]:
    """Return the rows of expected_scores.csv: what the planted catches are worth."""
    netting = catch_weeks(weeks)
    where = {(visit.site.code, *netting[visit.week]): visit.visit_id for visit in visits if visit.catch}
    return [
        (
            where[planted.site, planted.school_year, planted.number],
            promise.index,
            promise.value,
            promise.band,
            promise.standing,
            planted.why,
        )
        for planted in PLANTED
        for promise in planted.promises
    ]


def main() -> int:
    """Write the six generated files and say how long they are."""
    sites, weeks = read_sites(), school_weeks()
    visits = make_visits(sites, weeks)
    rng = np.random.default_rng([SEED, 10_000])
    promised = plant(visits, rng)
    visits.sort(key=lambda visit: visit.made_at)
    scores = score_rows(visits, weeks)
    outing_rng = np.random.default_rng([SEED, 10_001])
    promised += plant_outings(visits, sites, PLANTED_OUTINGS, outing_rng)
    readings = [reading_row(visit, reading) for visit in visits for reading in visit.readings]
    counts = [
        (visit.visit_id, count.taxon, count.count, count.abundance, count.life_stage)
        for visit in visits
        if visit.catch
        for count in visit.catch.counts
    ]
    sizes = {
        "visits.csv": write_table("visits.csv", VISIT_COLUMNS, map(visit_row, visits)),
        "readings.csv": write_table("readings.csv", READING_COLUMNS, readings),
        "counts.csv": write_table("counts.csv", "visit_id,taxon,count,abundance,life_stage", counts),
        "expected_flags.csv": write_table(
            "expected_flags.csv", "visit_id,reading,check,flag,slip,why", promised.flags
        ),
        "expected_alerts.csv": write_table("expected_alerts.csv", "visit_id,alert", promised.alerts),
        "expected_scores.csv": write_table(
            "expected_scores.csv", "visit_id,index,value,band,standing,why", scores
        ),
    }
    for name, rows in sizes.items():
        print(f"{name}: {rows} rows")
    return 0


if __name__ == "__main__":
    sys.exit(main())
