"""Which of the network's own indices score a visit: those made for its watershed and its month."""

from datetime import date
from decimal import Decimal

from sqlmodel import Session

from service.indices.queries import indices_around
from service.indices.tables import NetworkIndex
from service.science.scores.index import Band
from service.science.scores.metric_scoring import FrozenMetric, Scoring
from service.science.scores.multimetric import FrozenIndex
from service.science.watershed_code import WatershedCode
from service.sites.tables import Site


def find_indices(session: Session, site: Site, on: date) -> tuple[FrozenIndex, ...]:
    """Return the indices that hold at a site on a local date; nowhere else are they ever lent to."""
    if site.watershed_scheme is None or site.watershed_code is None:
        return ()
    around = indices_around(session, WatershedCode(site.watershed_scheme, site.watershed_code))
    return tuple(frozen_index(row) for row in around if on.month in row.months)


def frozen_index(row: NetworkIndex) -> FrozenIndex:
    """Return a stored definition as the science reads it."""
    scoring = Scoring(row.scoring)
    return FrozenIndex(
        code=row.code,
        number=row.number,
        gear=row.gear,
        scoring=scoring,
        metrics=tuple(
            FrozenMetric(
                index=metric["index"],
                definition=metric["definition"],
                rises_with_disturbance=metric["rises_with_disturbance"],
                scoring=scoring,
                best=metric["best"],
                worst=metric["worst"],
            )
            for metric in row.metrics
        ),
        bands=tuple(
            Band(band["name"], Decimal(str(band["lower"])), Decimal(str(band["upper"]))) for band in row.bands
        ),
    )
