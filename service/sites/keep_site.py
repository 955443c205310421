"""Enter a site, and change what is known of it."""

from datetime import UTC, datetime

from sqlmodel import Session

from service.changes.queries import record_change
from service.changes.tables import Deed, Subject
from service.core.database import insert_new
from service.core.errors import FieldError, Invalid, NotFound
from service.schools.caller import Caller
from service.schools.queries import school_by_code
from service.science.watershed_code import WatershedCode
from service.sites.keep_watershed import enter_watershed
from service.sites.queries import site_by_code
from service.sites.schemas import SiteBody, SitePatch
from service.sites.tables import Site


def create_site(session: Session, caller: Caller, body: SiteBody) -> Site:
    """Enter a new site of a school.

    Raises
    ------
    Conflict
        The code is taken.
    Invalid
        The school does not exist.
    """
    school = school_by_code(session, body.school)
    if school is None:
        raise Invalid([FieldError("/school", f"there is no school {body.school}; enter it first")])
    fields = body.model_dump(exclude={"watershed", "time_zone"})
    site = Site(**fields, time_zone=body.time_zone or school.time_zone, created_at=datetime.now(UTC))
    _lay_in(session, site, body.watershed.read() if body.watershed else None)
    insert_new(session, site, f"There is already a site {body.code}; change it with PATCH.")
    record_change(session, Subject.SITE, site.code, caller.key_text, Deed.MADE)
    return site


def change_site(session: Session, caller: Caller, code: str, patch: SitePatch) -> Site:
    """Change what a patch names, and nothing else.

    Raises
    ------
    NotFound
        There is no such site.
    Invalid
        Only one half of the place would be left.
    """
    site = site_by_code(session, code)
    if site is None:
        raise NotFound(f"There is no site {code}.")
    for name, value in patch.model_dump(exclude_unset=True, exclude={"watershed"}).items():
        setattr(site, name, value)
    if (site.latitude is None) != (site.longitude is None):
        raise Invalid([FieldError("/latitude", "give latitude and longitude, or empty both")])
    if "watershed" in patch.model_fields_set:
        _lay_in(session, site, patch.watershed.read() if patch.watershed else None)
    session.flush()
    fields = ", ".join(sorted(patch.model_fields_set))
    record_change(session, Subject.SITE, site.code, caller.key_text, what=fields)
    return site


def _lay_in(session: Session, site: Site, watershed: WatershedCode | None) -> None:
    if watershed is not None:
        enter_watershed(session, watershed)
    site.watershed_scheme = watershed.scheme if watershed else None
    site.watershed_code = watershed.code if watershed else None
