"""From stored rows to what is compared along a stream: the readings or scores of each site."""

import math
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import RowMapping

from service.reference.load import load_catalogue
from service.schools.caller import Caller
from service.science.kit_step import finest_difference, step_at
from service.science.paired_days import SiteReading
from service.science.scores.index import Standing
from service.science.types import Kit
from service.science.units import convert_difference

Rows = Sequence[RowMapping]
FIRM = (Standing.RATED, Standing.PROVISIONAL)

BySite = Mapping[str, tuple[SiteReading, ...]]


def sites_of_known_hours(rows: Rows, caller: Caller) -> frozenset[str]:
    """Return the sites at which the caller may know the hour of every visit."""
    hidden = {row["site"] for row in rows if not caller.sees_school(row["school"])}
    return frozenset(row["site"] for row in rows) - hidden


def readings_by_parameter(rows: Iterable[RowMapping], kits: Mapping[str, Kit]) -> Mapping[str, BySite]:
    """Return the readings of each parameter by site."""
    found: defaultdict[str, list[tuple[str, SiteReading]]] = defaultdict(list)
    for row in rows:
        found[row["parameter"]].append((row["site"], _reading(row, kits)))
    return {parameter: _by_site(readings) for parameter, readings in found.items()}


def scores_by_site(rows: Iterable[RowMapping]) -> BySite:
    """Return the scores by site that stand on enough animals; a score has no kit and no step."""
    return _by_site(
        (
            row["site"],
            SiteReading(
                on=row["observed_on"],
                at=row["observed_at"],
                value=row["value"],
                censored=None,
                low=row["value"],
                high=row["value"],
                method=f"definition {row['definition']}",
            ),
        )
        for row in rows
        if row["value"] is not None and row["standing"] in FIRM
    )


def _reading(row: RowMapping, kits: Mapping[str, Kit]) -> SiteReading:
    kit = kits.get(row["kit"] or "")
    if kit is not None and kit.parameter != row["parameter"]:
        kit = None  # somebody let a reading stand that names a kit for something else
    return SiteReading(
        on=row["observed_on"],
        at=row["observed_at"],
        value=row["value"],
        censored=row["censored"],
        low=-math.inf if row["low"] is None else row["low"],
        high=math.inf if row["high"] is None else row["high"],
        **_method(kit, row),
    )


def _method(kit: Kit | None, row: RowMapping) -> dict[str, Any]:
    """Return how a reading was made and what that can tell apart; unnamed, no better than the finest kit."""
    value, unit = row["value"], row["unit"]
    if kit is None:
        step = finest_difference(load_catalogue().kits_for(row["parameter"]), value, unit)
        return {"method": None, "step": step}
    accuracy = convert_difference(kit.accuracy or 0.0, kit.unit, unit)
    return {"method": kit.kind, "step": step_at(kit, value, unit), "accuracy": accuracy}


def _by_site(readings: Iterable[tuple[str, SiteReading]]) -> BySite:
    found: defaultdict[str, list[SiteReading]] = defaultdict(list)
    for site, reading in readings:
        found[site].append(reading)
    return {site: tuple(one) for site, one in found.items()}
