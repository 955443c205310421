"""Everything that the network holds of one school, in one document that is written piece by piece."""

from collections.abc import Iterator, Sequence

from sqlalchemy import Engine
from sqlmodel import Session

from service.core.database import reading
from service.schools.caller import Caller
from service.schools.schemas import KeyAnswer, SchoolAnswer
from service.schools.tables import School
from service.sites.queries import site_by_code
from service.sites.schemas import LotAnswer
from service.sites.show_site import shown_site
from service.visits.history import revisions_of
from service.visits.private.answers import ExportedMapping, ExportedVisit
from service.visits.private.queries import FIRST, keys_of, lots_of, mappings_of, sites_of, visits_of
from service.visits.records.queries import load_records
from service.visits.show_visit import shown_visit
from service.visits.tables import Visit

BATCH = 25


def export_school(engine: Engine, caller: Caller, school: School, who_to_call: str) -> Iterator[str]:
    """Give the JSON document of a school in pieces; no connection is held while a piece is sent.

    It ends with the number of visits in it: a document without that number was cut off on its way. Each visit
    is as it was when its turn came, and is there once.
    """
    snapshot = reading(engine)
    with Session(snapshot) as session:
        head = _head(session, caller, school)
    yield head
    after, count = FIRST, 0
    while True:
        with Session(snapshot) as session:
            visits = visits_of(session, school.code, after, BATCH)
            shown = ",\n".join(_shown(session, caller, visits, who_to_call))
        if not visits:
            break
        yield (",\n" if count else "\n") + shown
        after, count = visits[-1].id, count + len(visits)
    yield f'\n],\n"visits_count": {count}}}\n'


def _head(session: Session, caller: Caller, school: School) -> str:
    of_school = SchoolAnswer(**school.model_dump(exclude={"created_at"}))
    keys = [KeyAnswer(**row.model_dump(exclude={"fingerprint"})) for row in keys_of(session, school.code)]
    sites = [shown_site(row, caller) for row in sites_of(session, school.code)]
    lots = [LotAnswer(**row.model_dump(exclude={"created_at"})) for row in lots_of(session, school.code)]
    mappings = [
        ExportedMapping(code=row.code, changed_at=row.changed_at, mapping=row.content)
        for row in mappings_of(session, school.code)
    ]
    lists = (("keys", keys), ("sites", sites), ("kit_lots", lots), ("mappings", mappings))
    told = [f'"{name}": [{",".join(one.model_dump_json() for one in rows)}]' for name, rows in lists]
    return f'{{"school": {of_school.model_dump_json()},\n' + ",\n".join(told) + ',\n"visits": ['


def _shown(session: Session, caller: Caller, visits: Sequence[Visit], who_to_call: str) -> Iterator[str]:
    for record in load_records(session, visits):
        site = site_by_code(session, record.visit.site)
        assert site is not None  # a foreign key holds it
        whole = ExportedVisit(
            current=shown_visit(record, site, caller, who_to_call),
            revisions=revisions_of(session, caller, record.visit.id).items,
        )
        yield whole.model_dump_json()
