"""Hand an invented network to the outlier check as the service would, visit by visit, and count its flags."""

from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from zoneinfo import ZoneInfo

import numpy as np

from service.science.flags import Flag
from service.science.qa.checks import site_outlier
from service.science.types import Finding, NeighbourAnomaly, PastReading, Reading, Site, Visit
from service.visits.surroundings import SAME_WEEK_DAYS
from tests.benchmarks.blunders import BLUNDERS, Caught, catch
from tests.benchmarks.stream_model import CATALOGUE, FIELDS, SITES, WEEKS, YEARS, Network

ZONE = ZoneInfo("America/New_York")
UNDETECTED_SHARE = 0.02
TRIAL_SHARE = 0.25  # of the visits of the last year: as many trials a network as the reference had
PERIODS = ("year1", "year2", "year3-4", "year3-4")
VISIT = "visit"  # counted like a line: a visit in which any line is asked about
CLEAR = "tube <120"  # counted like a line: tubes at sites where a full tube is not the usual reading


def _number(found: Finding, name: str) -> float:
    value = found.evidence[name]
    assert isinstance(value, int | float), (name, value)
    return value


@dataclass(frozen=True)
class Line:
    """One number of one visit: what the class should have written, and what the register keeps of it."""

    name: str
    site: int
    on: date
    good: Reading
    kept: Reading


@dataclass(frozen=True)
class Compared:
    """A line as the check saw it, and what it said of the good and of the kept number."""

    line: Line
    visit: Visit
    good: Finding
    kept: Finding

    @property
    def anomaly(self) -> NeighbourAnomaly | None:
        """What the kept number tells the neighbours."""
        if self.kept.evidence.get("anomaly") is None:
            return None
        kit = FIELDS[self.line.name].kit
        return NeighbourAnomaly(str(self.line.site), _number(self.kept, "anomaly"), kit.code, kit.kind)


@dataclass
class Counts:
    """What one network gave, by line and period: flags of good readings; by blunder: which checks saw it."""

    readings: Counter[tuple[str, str]] = field(default_factory=Counter)
    evaluated: Counter[tuple[str, str]] = field(default_factory=Counter)
    flagged: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    blunders: defaultdict[tuple[str, str], list[Caught]] = field(default_factory=lambda: defaultdict(list))


class Register:
    """The past of a network's sites. A good reading that is flagged is let stand before the next visit."""

    def __init__(self) -> None:
        self.past: defaultdict[tuple[str, int], list[PastReading]] = defaultdict(list)

    def hand_in(self, line: Line, near: Iterable[NeighbourAnomaly]) -> Compared:
        """Compare a line with the past and with its neighbours, then put what is kept of it into the past."""
        past = self.past[line.name, line.site]
        at = datetime.combine(line.on, time(10), ZONE)
        visit = Visit(
            Site("creek", ZONE.key),
            at,
            at,
            (line.good,),
            history={line.good.parameter: tuple(past)},
            neighbours={line.good.parameter: tuple(near)},
        )
        limits = CATALOGUE.limits_for(site_outlier.CHECK.id, line.good.parameter)
        good = site_outlier.run(line.good, visit, limits)
        kept = good if line.kept == line.good else site_outlier.run(line.kept, visit, limits)
        kit = FIELDS[line.name].kit
        residual = None if kept.evidence.get("residual") is None else _number(kept, "residual")
        past.append(PastReading(line.on, line.kept.value, line.kept.censored, kit.code, kit.kind, residual))
        return Compared(line, visit, good, kept)


class Replay:
    """Four years of a network in two registers, with the same readings and the same slips kept in them.

    ``answered`` is what the service says when a visit is handed in: the neighbours are those that it knows by
    then, within three days. ``week`` asks when all visits of the calendar week are known. ``own`` is what
    would be said without neighbours.
    """

    def __init__(self, network: Network, rng: np.random.Generator) -> None:
        self.network, self.rng, self.counts = network, rng, Counts()
        self.answered, self.week = Register(), Register()
        self.known: defaultdict[str, list[tuple[date, NeighbourAnomaly]]] = defaultdict(list)

    def run(self) -> Counts:
        """Replay every week and return what was counted."""
        for year in range(YEARS):
            for week in range(WEEKS):
                visits = self._visits(year, week)
                at_once = [[self._hand_in(line) for line in visit] for visit in visits]
                whole = self._look_back(visits, [compared for visit in at_once for compared in visit])
                for now, later in zip(at_once, whole, strict=True):
                    self._count(PERIODS[year], now, later)
                    if year == YEARS - 1 and self.rng.random() < TRIAL_SHARE:
                        self._plant(now, later)
        return self.counts

    def _visits(self, year: int, week: int) -> list[list[Line]]:
        """Return the visits of a week in the order in which they are handed in."""
        days = self.network.days[:, year, week]
        visits = []
        for site in sorted(range(SITES), key=lambda site: (days[site], self.rng.random())):
            sheet = {name: float(grid[site, year, week]) for name, grid in self.network.written.items()}
            kept = self._with_unseen_slips(sheet)
            visits.append(
                [
                    Line(name, site, days[site], line.read(sheet[name]), line.read(kept[name]))
                    for name, line in FIELDS.items()
                ]
            )
        return visits

    def _with_unseen_slips(self, sheet: Mapping[str, float]) -> dict[str, float]:
        kept = dict(sheet)
        for name in FIELDS:
            if self.rng.random() < UNDETECTED_SHARE:
                slips = [slip for slip in BLUNDERS if slip.field == name]
                kept |= slips[self.rng.integers(len(slips))].spoil(sheet)
        return kept

    def _hand_in(self, line: Line) -> Compared:
        since = line.on - timedelta(days=SAME_WEEK_DAYS)
        recent = [(day, near) for day, near in self.known[line.name] if day >= since]
        newest = {near.site: near for _, near in recent if near.site != str(line.site)}
        compared = self.answered.hand_in(line, newest.values())
        if compared.anomaly is not None:
            recent.append((line.on, compared.anomaly))
        self.known[line.name] = recent
        return compared

    def _look_back(self, visits: list[list[Line]], at_once: list[Compared]) -> list[list[Compared]]:
        """Compare each line again when the whole week is known."""
        near: defaultdict[str, dict[int, NeighbourAnomaly]] = defaultdict(dict)
        for compared in at_once:
            if compared.anomaly is not None:
                near[compared.line.name][compared.line.site] = compared.anomaly
        return [
            [
                self.week.hand_in(line, [told for site, told in near[line.name].items() if site != line.site])
                for line in visit
            ]
            for visit in visits
        ]

    def _count(self, period: str, now: list[Compared], later: list[Compared]) -> None:
        asked = {"own": False, "answered": False, "week": False}
        for at_once, looked_back in zip(now, later, strict=True):
            name, said = at_once.line.name, at_once.good
            self.counts.readings[name, period] += 1
            if said.flag is Flag.NOT_EVALUATED:
                continue
            flags = {
                "own": _number(said, "z_own") > _number(said, "threshold"),
                "answered": said.flag is Flag.SUSPECT,
                "week": looked_back.good.flag is Flag.SUSPECT,
            }
            self._add(name, period, flags)
            if name == "tube" and said.evidence["usual_censored"] is None:
                self._add(CLEAR, period, flags)
            asked = {scheme: asked[scheme] or flag for scheme, flag in flags.items()}
        self.counts.readings[VISIT, period] += 1
        self._add(VISIT, period, asked)

    def _add(self, name: str, period: str, flags: Mapping[str, bool]) -> None:
        self.counts.evaluated[name, period] += 1
        for scheme, flagged in flags.items():
            self.counts.flagged[name, period, scheme] += flagged

    def _plant(self, now: list[Compared], later: list[Compared]) -> None:
        sheet = {compared.line.name: compared.line.good.written_value for compared in now}
        at_once = {compared.line.name: compared.visit for compared in now}
        week = {compared.line.name: compared.visit for compared in later}
        for slip in BLUNDERS:
            spoiled = slip.spoil(sheet)
            if slip.kind != "swap" or len(set(spoiled.values())) > 1:
                self.counts.blunders[slip.field, slip.kind].append(catch(spoiled, at_once, week))
