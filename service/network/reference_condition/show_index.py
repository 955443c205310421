"""A definition of one of the network's own indices as it is answered, with what it can and cannot tell."""

import calendar

from service.indices.find_indices import frozen_index
from service.indices.tables import NetworkIndex
from service.network.reference_condition.define_index import Defined
from service.network.reference_condition.schemas import (
    BandAnswer,
    DefinedIndex,
    IndexAnswer,
    MetricAnswer,
    ReferenceSite,
    ReferenceValues,
)
from service.reference.load import load_catalogue
from service.science.scores.metric_scoring import BEST_AT, FrozenMetric, bounds_of
from service.science.scores.reference_bands import range_of
from service.sites.schemas import WatershedAnswer


def shown_index(row: NetworkIndex) -> IndexAnswer:
    """Return a stored definition whole."""
    frozen = frozen_index(row)
    lowest, highest = range_of(frozen.scoring, len(frozen.metrics))
    return IndexAnswer(
        code=row.code,
        number=row.number,
        title=row.title,
        watershed=WatershedAnswer(scheme=row.watershed_scheme, code=row.watershed_code),
        months=row.months,
        gear=row.gear,
        scoring=row.scoring,
        lowest_possible=float(lowest),
        highest_possible=float(highest),
        metrics=[
            _metric(metric, stored["reference"])
            for metric, stored in zip(frozen.metrics, row.metrics, strict=True)
        ],
        bands=[BandAnswer(**band) for band in row.bands],
        reference_sites=[ReferenceSite(**site) for site in row.reference_sites],
        reference_from=row.reference_from,
        reference_until=row.reference_until,
        reference_visits=row.reference_visits,
        reference_version=row.reference_version,
        created_at=row.created_at,
        text=_text(row),
    )


def shown_definition(defined: Defined, *, stored: bool) -> DefinedIndex:
    """Return a definition just made."""
    shown = shown_index(defined.row)
    return DefinedIndex(**dict(shown), stored=stored, visits_left_out=dict(defined.left_out))


def _metric(metric: FrozenMetric, reference: dict[str, float]) -> MetricAnswer:
    from_three, from_five = bounds_of(metric) or (None, None)
    return MetricAnswer(
        index=metric.index,
        definition=metric.definition,
        title=load_catalogue().all_definitions[metric.index, metric.definition].title,
        rises_with_disturbance=metric.rises_with_disturbance,
        percentile=100.0 * BEST_AT[metric.scoring][metric.rises_with_disturbance],
        best=metric.best,
        worst=metric.worst,
        scores_3_from=from_three,
        scores_5_from=from_five,
        reference=ReferenceValues(**reference),
    )


def _text(row: NetworkIndex) -> str:
    sites = sum(site["visits"] > 0 for site in row.reference_sites)
    months = ", ".join(calendar.month_name[month] for month in row.months)
    gear = f" with {row.gear}" if row.gear else ""
    top = row.bands[0]
    where = f"{row.watershed_scheme}:{row.watershed_code} in {months}"
    return (
        f"Frozen at {row.reference_visits} visits of {sites} reference sites. From now on it scores each "
        f"catch{gear} of {where}, and nothing elsewhere or at other times; visits that are stored already "
        "get their score when `wadebook rescore` is run. "
        f"From {top['lower']:g} on a catch is {top['name']}. Up to one reference visit in four scores less, "
        "so one lower score is no finding: look for several. It says how like the reference a catch is, not "
        "what changed the stretch: look at its metrics for that. If the reference sites are disturbed "
        "themselves, every stretch looks better than it is; a site among them that scores low again and "
        "again does not belong there."
    )
