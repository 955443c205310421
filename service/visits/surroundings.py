"""What the register already knows around a visit: the site's past, its neighbours' week, its doubles."""

from collections import defaultdict
from collections.abc import Collection, Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime
from uuid import UUID

from service.reference.load import load_catalogue
from service.science.types import NeighbourAnomaly, PastReading, VisitKind
from service.science.watershed_code import WatershedCode, neighbourhood
from service.sites.tables import Site
from service.visits.background import Background
from service.visits.interpret import Interpreted
from service.visits.queries import Row, Rows
from service.visits.schemas import VisitBody


@dataclass(frozen=True, slots=True)
class Surroundings:
    """The site's accepted readings of earlier dates and its neighbours' of the week, by parameter."""

    history: Mapping[str, tuple[PastReading, ...]]
    neighbours: Mapping[str, tuple[NeighbourAnomaly, ...]]
    twins: tuple[str, ...]
    same_catch_on: tuple[date, ...]
    same_day: Mapping[str, tuple[PastReading, ...]]


def look_around(
    background: Background,
    site: Site,
    body: VisitBody,
    interpreted: Interpreted,
    visit_id: UUID,
    received_at: datetime,
) -> Surroundings:
    """Return the surroundings of a visit, with two questions to the register.

    Of two visits of one team at one instant only the one that came later has a twin.
    """
    parameters = sorted({reading.parameter for reading in interpreted.readings})
    on = interpreted.observed_at.date()
    past = [row for row in background.past_of(site, parameters, on) if row["visit_id"] != visit_id]
    around: Rows = []
    if site.watershed_scheme is not None and site.watershed_code is not None:
        within = neighbourhood(WatershedCode(site.watershed_scheme, site.watershed_code))
        if within is not None:
            week = background.week_around(within, parameters, on)
            around = [row for row in week if row["site"] != site.code]
    moment = body.observed_at.astimezone(UTC)
    doubles = [
        row
        for row in past
        if row["observed_at"] == moment
        and row["team"] == body.team
        and row["kind"] == body.kind
        and row["received_at"] < received_at
    ]
    catches = [row for row in past if row["catch_hash"] and row["catch_hash"] == interpreted.catch_hash]
    is_duplicate = body.kind is VisitKind.FIELD_REPLICATE
    counterpart = VisitKind.ROUTINE if is_duplicate else VisitKind.FIELD_REPLICATE
    return Surroundings(
        history=_readings([row for row in past if row["observed_on"] < on], VisitKind.ROUTINE, parameters),
        neighbours=_neighbours(around),
        twins=tuple(sorted({str(row["visit_id"]) for row in doubles})),
        same_day=_readings([row for row in past if row["observed_on"] == on], counterpart, parameters),
        same_catch_on=tuple(sorted({row["observed_on"] for row in catches if row["observed_on"] < on})),
    )


def _kind_of(row: Row) -> str | None:
    """Return the kind of the kit of a row, of the catalogue or of the network's own."""
    listed = load_catalogue().kits.get(row["kit"])
    kind: str | None = listed.kind if listed else row["network_kit_kind"]
    return kind


def _readings(rows: Rows, kind: VisitKind, parameters: Collection[str]) -> dict[str, tuple[PastReading, ...]]:
    """Return the readings of one kind of visit among rows, by parameter."""
    found: defaultdict[str, list[PastReading]] = defaultdict(list)
    for row in rows:
        if row["parameter"] in parameters and row["kind"] is kind:
            found[row["parameter"]].append(
                PastReading(
                    on=row["observed_on"],
                    value=row["value"],
                    censored=row["censored"],
                    kit=row["kit"],
                    kind=_kind_of(row),
                    residual=row["residual"],
                )
            )
    return {parameter: tuple(readings) for parameter, readings in found.items()}


def _neighbours(around: Rows) -> dict[str, tuple[NeighbourAnomaly, ...]]:
    """Keep for each parameter, site and kind of method the newest anomaly of the week."""
    newest: dict[tuple[str, str, str | None], NeighbourAnomaly] = {}
    for row in around:
        kind = _kind_of(row)
        newest[row["parameter"], row["site"], kind] = NeighbourAnomaly(
            row["site"], row["anomaly"], row["kit"], kind
        )
    found: defaultdict[str, list[NeighbourAnomaly]] = defaultdict(list)
    for (parameter, *_), anomaly in newest.items():
        found[parameter].append(anomaly)
    return {parameter: tuple(anomalies) for parameter, anomalies in found.items()}
