"""SQL of what is private: reading a school's own whole, and taking private parts out of the revisions."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

import sqlalchemy as sa
from sqlmodel import Session, col, select

from service.schools.tables import AccessKey, AnsweredOnce, KeptMapping
from service.sites.tables import SchoolKitLot, Site
from service.visits.tables import Visit, VisitRevision

NOTES, TEAM, PLACE = ("notes",), ("team",), ("latitude", "longitude")
FIRST = UUID(int=0)  # before every id
GONE = "removed-"  # how the codes begin that keep nameless teams apart


@dataclass(frozen=True, slots=True)
class Holding:
    """Which revisions hold something: in these columns, of a school or of all, from before an instant."""

    columns: Sequence[str]
    school: str | None = None
    before: datetime | None = None

    def condition(self) -> sa.ColumnElement[bool]:
        """Return it as SQL."""
        columns = sa.inspect(VisitRevision).columns
        conditions = [sa.or_(*(columns[name].is_not(None) for name in self.columns))]
        if "team" in self.columns:
            conditions.append(sa.not_(col(VisitRevision.team).startswith(GONE, autoescape=True)))
        if self.school is not None:
            conditions.append(col(VisitRevision.visit_id).in_(_of_school(self.school)))
        if self.before is not None:
            conditions.append(col(VisitRevision.received_at) < self.before)
        return sa.and_(*conditions)


def _of_school(school: str) -> sa.Select[UUID]:
    return sa.select(col(Visit.id)).where(col(Visit.school) == school)


def count_revisions(session: Session, holding: Holding) -> int:
    """Return how many revisions hold something."""
    counted = sa.select(sa.func.count()).select_from(VisitRevision).where(holding.condition())
    return int(session.execute(counted).scalar_one())


def visits_holding(
    session: Session, holding: Holding, after: UUID = FIRST, limit: int | None = None
) -> list[UUID]:
    """Return the visits with such revisions in the order of their ids, beginning after one."""
    found = select(VisitRevision.visit_id).distinct().where(col(VisitRevision.visit_id) > after)
    ordered = found.where(holding.condition()).order_by(col(VisitRevision.visit_id))
    return list(session.exec(ordered.limit(limit)))


def empty(session: Session, holding: Holding, visit_ids: Sequence[UUID] | None = None) -> int:
    """Take out of the revisions what they hold, of these visits or of all, and return out of how many."""
    emptied = sa.update(VisitRevision).where(holding.condition()).values(dict.fromkeys(holding.columns))
    if visit_ids is not None:
        emptied = emptied.where(col(VisitRevision.visit_id).in_(visit_ids))
    return session.connection().execute(emptied).rowcount


def take_names_of_teams(session: Session, school: str) -> None:
    """Take the codes of teams out of a school's revisions.

    Two teams at one site at one instant stay two: else each would be taken for the other sent twice. So the
    first of them becomes nameless, and the others are numbered.
    """
    rank = sa.func.dense_rank().over(
        partition_by=(col(Visit.site), col(VisitRevision.observed_at)),
        order_by=col(VisitRevision.team).asc().nulls_first(),
    )
    ranked = (
        sa.select(col(VisitRevision.visit_id), col(VisitRevision.revision), rank.label("rank"))
        .join(Visit, col(Visit.id) == col(VisitRevision.visit_id))
        .where(col(Visit.school) == school)
        .subquery()
    )
    numbered = sa.case((ranked.c.rank > 1, GONE + sa.cast(ranked.c.rank, sa.String)), else_=None)
    renamed = sa.update(VisitRevision).where(
        col(VisitRevision.visit_id) == ranked.c.visit_id,
        col(VisitRevision.revision) == ranked.c.revision,
        col(VisitRevision.team).is_not(None),
    )
    session.connection().execute(renamed.values(team=numbered))


def count_answers(session: Session, before: datetime) -> int:
    """Return how many answers were kept for a repeated request before an instant."""
    counted = sa.select(sa.func.count()).select_from(AnsweredOnce).where(col(AnsweredOnce.at) < before)
    return int(session.execute(counted).scalar_one())


def drop_answers(session: Session, before: datetime) -> int:
    """Drop the answers that were kept for a repeated request before an instant, and return how many."""
    return session.connection().execute(sa.delete(AnsweredOnce).where(col(AnsweredOnce.at) < before)).rowcount


def drop_answers_about(session: Session, school: str) -> None:
    """Drop the kept answers that name a school's contact: those to whoever entered the school."""
    entered = col(AnsweredOnce.address) == "POST /v1/schools"
    about = col(AnsweredOnce.answer).startswith(f'{{"code":"{school}"', autoescape=True)
    session.execute(sa.delete(AnsweredOnce).where(entered, about))


def keys_of(session: Session, school: str) -> Sequence[AccessKey]:
    """Return the keys of a school, the oldest first."""
    return session.exec(
        select(AccessKey).where(col(AccessKey.school) == school).order_by(col(AccessKey.id))
    ).all()


def sites_of(session: Session, school: str) -> Sequence[Site]:
    """Return the sites of a school."""
    return session.exec(select(Site).where(col(Site.school) == school).order_by(col(Site.code))).all()


def lots_of(session: Session, school: str) -> Sequence[SchoolKitLot]:
    """Return the boxes of kits of a school."""
    found = select(SchoolKitLot).where(col(SchoolKitLot.school) == school)
    return session.exec(found.order_by(col(SchoolKitLot.code))).all()


def mappings_of(session: Session, school: str) -> Sequence[KeptMapping]:
    """Return how a school's own sheets are read."""
    found = select(KeptMapping).where(col(KeptMapping.school) == school)
    return session.exec(found.order_by(col(KeptMapping.code))).all()


def drop_mappings(session: Session, school: str) -> list[str]:
    """Drop how a school's own sheets are read, and return the codes of what was dropped."""
    dropped = sa.delete(KeptMapping).where(col(KeptMapping.school) == school).returning(col(KeptMapping.code))
    return sorted(session.execute(dropped).scalars())


def visits_of(session: Session, school: str, after: UUID, limit: int) -> Sequence[Visit]:
    """Return visits of a school, whatever their state, in the order of their ids, beginning after one."""
    found = select(Visit).where(col(Visit.school) == school, col(Visit.id) > after)
    return session.exec(found.order_by(col(Visit.id)).limit(limit)).all()
