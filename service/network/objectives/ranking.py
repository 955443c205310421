"""The sites of a watershed in the order of their CCME index, where they may be compared at all."""

from collections import defaultdict
from collections.abc import Sequence

from sqlmodel import Session

from service.network.objectives.ccme_words import NOTHING, SCREENING, objective_words
from service.network.objectives.kit_steps import steps_at_zero
from service.network.objectives.make_index import MadeIndex, make_index, rounded
from service.network.objectives.period_objectives import ObjectiveFinder, Period
from service.network.objectives.queries import sites_inside
from service.network.objectives.schemas import NotRanked, RankedGroup, RankedSite, WatershedRanking
from service.network.objectives.visit_values import VisitValue, values_of_visits
from service.network.series.queries import readings_in_time
from service.reference.load import load_catalogue
from service.science.ccme_index import INDEX
from service.science.scores.index import Standing
from service.science.scores.scorable import plural
from service.science.watershed_code import WatershedCode
from service.sites.tables import Site
from service.visits.ask import DatedQuery
from service.visits.question import Question
from service.visits.tables import State

Made = tuple[Site, MadeIndex]


def watershed_ranking(session: Session, watershed: WatershedCode, asked: DatedQuery) -> WatershedRanking:
    """Return the sites of a watershed by their index, from released routine visits.

    All sites have the same period; without an end it is that of the readings of them all.
    """
    question = Question(watershed=watershed, since=asked.from_, until=asked.to, states=(State.RELEASED,))
    values = values_of_visits(readings_in_time(session, question, load_catalogue().parameters))
    sites = sites_inside(session, watershed)
    first = asked.from_ or (min(value.on for value in values) if values else None)
    last = asked.to or (max(value.on for value in values) if values else None)
    made = _made(session, sites, values, Period("", first, last)) if first and last and values else []
    groups, apart = _groups(made)
    visited = {site.code for site, _ in made}
    apart += [_apart(site.code, None, NOTHING) for site in sites if site.code not in visited]
    return WatershedRanking(
        scheme=watershed.scheme,
        code=watershed.code,
        index=INDEX.id,
        definition=load_catalogue().definitions[INDEX.id].number,
        from_date=first,
        to_date=last,
        groups=groups,
        not_ranked=sorted(apart, key=lambda row: row.site),
        text=_in_short(groups, apart),
    )


def _made(
    session: Session, sites: Sequence[Site], values: Sequence[VisitValue], period: Period
) -> list[Made]:
    by_site: defaultdict[str, list[VisitValue]] = defaultdict(list)
    for value in values:
        by_site[value.site].append(value)
    finder, steps = ObjectiveFinder(session), steps_at_zero(session, values)
    return [
        (
            site,
            make_index(site.code, by_site[site.code], period, finder.for_period(site, period), steps),
        )
        for site in sites
        if site.code in by_site
    ]


def _groups(made: Sequence[Made]) -> tuple[list[RankedGroup], list[NotRanked]]:
    alike: defaultdict[str, list[Made]] = defaultdict(list)
    apart: list[NotRanked] = []
    for site, one in made:
        if one.index.band is None:
            reason = NOTHING if one.index.value is None else one.reasons[0]
            apart.append(_apart(site.code, one, reason))
        else:
            alike[one.index.comparable_with].append((site, one))
    for group in [group for group in alike.values() if len(group) == 1]:
        ((site, one),) = group
        del alike[one.index.comparable_with]
        used = "; ".join(_objectives(one))
        said = f"no other site here has the same parameters and criteria, each with enough tests: {used}"
        apart.append(_apart(site.code, one, said))
    groups = [
        RankedGroup(comparable_with=key, objectives=_objectives(group[0][1]), sites=_ranked(group))
        for key, group in alike.items()
    ]
    return sorted(groups, key=lambda group: (-len(group.sites), group.sites[0].site)), apart


def _objectives(made: MadeIndex) -> list[str]:
    return [objective_words(one.variable.objective) for one in made.index.used]


def _ranked(group: Sequence[Made]) -> list[RankedSite]:
    ordered = sorted(group, key=lambda pair: (-_value(pair[1]), pair[0].code))
    values = [_value(one) for _, one in ordered]
    return [
        _row(1 + values.index(values[place]), site, one, ordered[place - 1] if place else None)
        for place, (site, one) in enumerate(ordered)
    ]


def _row(rank: int, site: Site, made: MadeIndex, better: Made | None) -> RankedSite:
    index = made.index
    reasons = list(made.reasons)
    if better is not None and _overlap(made, better[1]):
        reasons.insert(0, f"its order with {better[0].code} may be chance: their ranges overlap")
    return RankedSite(
        rank=rank,
        site=site.code,
        stream=site.stream,
        stream_km=site.stream_km,
        value=rounded(_value(made)),
        band=index.band,
        standing=index.standing,
        low=rounded(index.low),
        high=rounded(index.high),
        at_most=index.at_most,
        tests=sum(one.tests for one in index.used),
        failed_tests=sum(one.failed for one in index.used),
        first_visit=made.first_visit,
        last_visit=made.last_visit,
        reasons=reasons,
    )


def _value(made: MadeIndex) -> float:
    assert made.index.value is not None
    return made.index.value


def _overlap(one: MadeIndex, better: MadeIndex) -> bool:
    high, low = one.index.high, better.index.low
    return high is not None and low is not None and low <= high


def _apart(site: str, made: MadeIndex | None, reason: str) -> NotRanked:
    if made is None:
        return NotRanked(site=site, value=None, standing=Standing.MISSING, reason=reason)
    return NotRanked(site=site, value=rounded(made.index.value), standing=made.index.standing, reason=reason)


def _in_short(groups: Sequence[RankedGroup], apart: Sequence[NotRanked]) -> str:
    ranked = sum(len(group.sites) for group in groups)
    return (
        f"{plural(ranked, 'site')} ranked in {plural(len(groups), 'group')}, {len(apart)} not ranked. A rank"
        f" holds only within its group. {SCREENING}"
    )
