"""Parts of a watershed's summary: what share of readings meets each criterion, and how well it is covered."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from datetime import date, timedelta

from sqlmodel import Session

from service.network.objectives.period_objectives import ObjectiveFinder, Period
from service.network.queries import Rows
from service.network.schemas import Coverage, CriterionSummary
from service.science.criterion import Criterion
from service.science.criterion_share import Written, share_meeting
from service.sites.tables import Site

Days = Sequence[tuple[str, date]]


def criteria_of(
    session: Session, sites: Mapping[str, Site], rows: Rows, first: date, last: date
) -> list[CriterionSummary]:
    """Return for each criterion the share of readings that meet it, at the sites where it applies.

    The criteria of the last date are taken, each against the readings of its own sites. Limits that a formula
    gives from other readings are judged visit by visit in the score `criteria-met`, not here.
    """
    finder = ObjectiveFinder(session)
    whole = Period("", first, last)
    compared: defaultdict[Criterion, list[Written]] = defaultdict(list)
    places: defaultdict[Criterion, set[str]] = defaultdict(set)
    for row in rows:
        objectives = finder.for_period(sites[row["site"]], whole).by_parameter
        criterion = objectives.get(row["parameter"])
        if criterion is not None and criterion.formula is None:
            compared[criterion].append((row["value"], row["censored"]))
            places[criterion].add(row["site"])
    return [
        _criterion(criterion, written, len(places[criterion]))
        for criterion, written in sorted(compared.items(), key=lambda pair: pair[0].code)
    ]


def _criterion(criterion: Criterion, written: Iterable[Written], sites: int) -> CriterionSummary:
    share = share_meeting(written, criterion.at_least, criterion.at_most)
    least, most = round(share.at_least_percent, 1), round(share.at_most_percent, 1)
    exact = share.undecided == 0
    return CriterionSummary(
        criterion=criterion.code,
        name=criterion.name,
        parameter=criterion.parameter,
        unit=criterion.unit,
        at_least=criterion.at_least,
        at_most=criterion.at_most,
        source=criterion.source,
        sites=sites,
        readings=share.readings,
        meeting_low_percent=least,
        meeting_high_percent=most,
        text=f"{least:g} % meet it" if exact else f"at least {least:g} % and at most {most:g} % meet it",
    )


def coverage_of(days: Days, sites: int, first: date, last: date) -> Coverage:
    """Return how many weeks, and how many weeks of sites, have a visit; weeks begin on Mondays."""
    weeks = (_monday(last) - _monday(first)).days // 7 + 1
    visited = {(site, _monday(on)) for site, on in days}
    whole = weeks * sites
    return Coverage(
        weeks=weeks,
        weeks_with_visits=len({week for _, week in visited}),
        site_weeks=whole,
        site_weeks_with_visits=len(visited),
        percent=round(100.0 * len(visited) / whole, 1) if whole else 0.0,
    )


def _monday(on: date) -> date:
    return on - timedelta(days=on.weekday())
