"""Score stored visits anew, after a new definition of an index or another rule of the network.

What is stored by an older definition stays beside the new score, marked as superseded.
"""

from collections.abc import Iterator, Sequence
from datetime import date

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.reference.load import load_catalogue
from service.review.differences import says_the_same
from service.review.queries import visits_to_score
from service.sites.keep_kit import find_kits
from service.sites.tables import Site
from service.visits.conclusions import scored_with
from service.visits.network_rules import find_rules
from service.visits.reconclude import conclude
from service.visits.record import VisitRecord
from service.visits.records.queries import load_records, replace_conclusions
from service.visits.score_visit import NetworkRules
from service.visits.tables import Visit

BATCH = 200
EVERY_INDEX = "all"
Stale = tuple[Visit, Site, NetworkRules]


def rescore_all(session: Session, since: date | None) -> Iterator[tuple[date, int, int, int]]:
    """Score the visits in the record anew, batch by batch in the order of their dates.

    Yields
    ------
    tuple
        Date of the last visit of the batch; how many it held, how many of them were scored anew because they
        had been scored with other definitions or rules, and how many of those came out differently. Commit
        after each batch: what is done is passed over when the work is started again.
    """
    after = None
    while batch := visits_to_score(session, since, after, BATCH):
        stale = list(_stale(session, batch))
        changed = _score_anew(session, stale)
        last = batch[-1][0]
        after = (last.observed_on, last.id)
        yield last.observed_on, len(batch), len(stale), changed
        session.expunge_all()


def _stale(session: Session, batch: Sequence[tuple[Visit, Site, str]]) -> Iterator[Stale]:
    catalogue = load_catalogue()
    known: dict[tuple[str, date], NetworkRules] = {}
    for visit, site, scored in batch:
        place_and_day = (site.code, visit.observed_on)
        if place_and_day not in known:
            known[place_and_day] = find_rules(session, site, visit.observed_on)
        rules = known[place_and_day]
        if scored != scored_with(catalogue, rules):
            yield visit, site, rules


def _score_anew(session: Session, stale: Sequence[Stale]) -> int:
    """Store the scores of visits anew, and return of how many they differ."""
    if not stale:
        return 0
    catalogue = load_catalogue()
    records = load_records(session, [visit for visit, *_ in stale])
    kits = find_kits(session, {row.kit for record in records for row in record.readings if row.kit})
    concluded = [
        conclude(record, site, kits, rules, catalogue)
        for record, (_, site, rules) in zip(records, stale, strict=True)
    ]
    differing = [new for old, new in zip(records, concluded, strict=True) if _differs(old, new)]
    session.flush()
    replace_conclusions(session, concluded)
    for record in differing:
        record_change(session, Subject.VISIT, str(record.visit.id), None, Deed.RECKONED, "scored anew")
    if len(differing) < len(stale):
        # Lists show the version of the reference data behind a score; whoever holds one must hear of it.
        record_change(session, Subject.INDEX, EVERY_INDEX, None, Deed.RECKONED, "scored anew, all the same")
    return len(differing)


def _differs(before: VisitRecord, again: VisitRecord) -> bool:
    return not (says_the_same(before.scores, again.scores) and says_the_same(before.derived, again.derived))
