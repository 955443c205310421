"""Make a multimetric index of the network's own: look at its reference sites and freeze what they gave."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

import numpy as np
from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.database import insert_new
from service.core.errors import Conflict, FieldError, Invalid
from service.core.settings import Settings
from service.indices.queries import index_by_code
from service.indices.tables import NetworkIndex
from service.network.reference_condition.frozen_rows import band_rows, metric_rows, site_rows
from service.network.reference_condition.metric_rules import metric_errors, worst_of
from service.network.reference_condition.queries import sites_named
from service.network.reference_condition.reference_visits import ReferenceVisits, find_reference_visits
from service.network.reference_condition.schemas import IndexBody
from service.reference.load import load_catalogue
from service.schools.caller import Caller
from service.science.scores.banding import round_half_up
from service.science.scores.index import Definition
from service.science.scores.metric_scoring import FrozenMetric, frozen_metric
from service.science.scores.multimetric import combine
from service.science.scores.reference_bands import DECIMALS, reference_bands


@dataclass(frozen=True, slots=True)
class Defined:
    """A definition, stored or only shown, and how many visits it could not use, by why."""

    row: NetworkIndex
    left_out: Mapping[str, int]


def define_index(
    session: Session, settings: Settings, caller: Caller, body: IndexBody, *, dry_run: bool
) -> Defined:
    """Freeze the next definition of an index at its reference visits, and store it unless this is a dry run.

    Raises
    ------
    Conflict
        The code is an index of the catalogue, or somebody else made the same definition at this moment.
    Invalid
        Metrics or sites do not fit, or the reference visits are too few or tell nothing.
    """
    catalogue = load_catalogue()
    if body.code in catalogue.definitions:
        raise Conflict(f"{body.code} is an index of the catalogue; choose another code.")
    _raise_if_any([*metric_errors(body, catalogue.definitions), *_site_errors(session, body)])
    visits = find_reference_visits(session, body, catalogue.definitions)
    _require_enough(visits, settings)
    metrics = _freeze(body, visits, catalogue.definitions)
    newest = index_by_code(session, body.code)
    origin = {"reference_version": catalogue.version, "key_id": caller.key_text}
    row = _row(body, metrics, visits, number=newest.number + 1 if newest else 1, **origin)
    if not dry_run:
        insert_new(
            session, row, f"Another has just made definition {row.number} of {row.code}; send it again."
        )
        made = f"definition {row.number}"
        record_change(session, Subject.INDEX, row.code, caller.key_text, Deed.MADE, made)
    return Defined(row, visits.left_out)


def _raise_if_any(errors: Sequence[FieldError]) -> None:
    if errors:
        raise Invalid(errors)


def _site_errors(session: Session, body: IndexBody) -> Iterator[FieldError]:
    watershed = body.watershed.read()
    sites = {site.code: site for site in sites_named(session, body.reference_sites)}
    for place, code in enumerate(body.reference_sites):
        site = sites.get(code)
        if site is None:
            yield FieldError(f"/reference_sites/{place}", f"there is no site {code}")
        elif site.watershed_scheme != watershed.scheme or not (site.watershed_code or "").startswith(
            watershed.code
        ):
            told = f"{code} does not lie in {watershed.text}; a reference is never borrowed from elsewhere"
            yield FieldError(f"/reference_sites/{place}", told)


def _require_enough(visits: ReferenceVisits, settings: Settings) -> None:
    found, sites = len(visits.sites), len(set(visits.sites))
    wanted = settings.reference_visits_min, settings.reference_sites_min
    if found >= wanted[0] and sites >= wanted[1]:
        return
    why = "".join(f"; {count} left out: {reason}" for reason, count in visits.left_out.items())
    told = (
        f"{found} visits of {sites} of these sites can be used; wanted are {wanted[0]} visits of {wanted[1]} "
        f"sites{why}. Take more sites, months or years, or wait for more visits"
    )
    raise Invalid([FieldError("/reference_sites", told)])


def _freeze(
    body: IndexBody, visits: ReferenceVisits, definitions: Mapping[str, Definition]
) -> tuple[FrozenMetric, ...]:
    metrics: list[FrozenMetric] = []
    errors: list[FieldError] = []
    for place, metric in enumerate(body.metrics):
        definition = definitions[metric.index]
        worst = worst_of(metric, definition)
        assert worst is not None  # metric_errors has refused those without
        try:
            frozen = frozen_metric(
                metric.index,
                definition.number,
                visits.values[metric.index],
                rises_with_disturbance=metric.rises_with_disturbance,
                worst=worst,
                scoring=body.scoring,
            )
        except ValueError as error:
            errors.append(FieldError(f"/metrics/{place}", f"{metric.index} {error}"))
        else:
            metrics.append(frozen)
    _raise_if_any(errors)
    return tuple(metrics)


def _row(
    body: IndexBody, metrics: Sequence[FrozenMetric], visits: ReferenceVisits, **origin: Any
) -> NetworkIndex:
    values = [np.asarray(visits.values[metric.index], dtype=np.float64) for metric in metrics]
    scores = [
        float(round_half_up(Decimal(f"{score:.9f}"), DECIMALS[body.scoring]))
        for score in combine(metrics, values)
    ]
    try:
        bands = reference_bands(scores, body.scoring, len(metrics))
    except ValueError as error:
        raise Invalid([FieldError("/metrics", str(error))]) from None
    watershed = body.watershed.read()
    return NetworkIndex(
        code=body.code,
        title=body.title,
        watershed_scheme=watershed.scheme,
        watershed_code=watershed.code,
        months=sorted(body.months),
        gear=body.gear.value if body.gear else None,
        scoring=body.scoring.value,
        metrics=metric_rows(metrics, visits.values),
        bands=band_rows(bands, scores),
        reference_sites=site_rows(body.reference_sites, visits.sites, scores),
        reference_from=body.reference_from,
        reference_until=body.reference_until,
        reference_visits=len(scores),
        **origin,
        created_at=datetime.now(UTC),
    )
