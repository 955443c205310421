"""The parts of a frozen index as they are stored: metrics, bands, reference sites, and how each is spread."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from statistics import median
from typing import Any

from service.science.scores.index import Band
from service.science.scores.metric_scoring import FrozenMetric, quantiles

Rows = list[dict[str, Any]]
_DISTRIBUTION = {"lowest": 0.0, "lower_quartile": 0.25, "median": 0.5, "upper_quartile": 0.75, "highest": 1.0}


def metric_rows(metrics: Sequence[FrozenMetric], values: Mapping[str, Sequence[float]]) -> Rows:
    """Return each metric with what its scoring was frozen at and its values in the reference visits."""
    return [
        {
            "index": metric.index,
            "definition": metric.definition,
            "rises_with_disturbance": metric.rises_with_disturbance,
            "best": metric.best,
            "worst": metric.worst,
            "reference": dict(
                zip(_DISTRIBUTION, quantiles(values[metric.index], list(_DISTRIBUTION.values())), strict=True)
            ),
        }
        for metric in metrics
    ]


def band_rows(bands: Sequence[Band], scores: Sequence[float]) -> Rows:
    """Return each band, best first, with how many of the reference visits fell into it."""
    rows = []
    for band in bands:
        assert band.lower is not None  # the bands of such an index are closed at both ends
        assert band.upper is not None
        lower, upper = float(band.lower), float(band.upper)
        inside = sum(lower <= score <= upper for score in scores)
        rows.append({"name": band.name, "lower": lower, "upper": upper, "reference_visits": inside})
    return rows


def site_rows(sites: Sequence[str], of_visits: Sequence[str], scores: Sequence[float]) -> Rows:
    """Return each reference site with how many visits it gave and how they score on the index."""
    by_site: defaultdict[str, list[float]] = defaultdict(list)
    for site, score in zip(of_visits, scores, strict=True):
        by_site[site].append(score)
    return [
        {
            "site": site,
            "visits": len(found := by_site[site]),
            "lowest": min(found, default=None),
            "median": median(found) if found else None,
            "highest": max(found, default=None),
        }
        for site in sites
    ]
