"""Addresses of sites, watersheds by name, and the network's own kits."""

from typing import Annotated

from fastapi import APIRouter, Depends, Query, Request, Response

from service.core.database import RequestSession
from service.core.errors import NotFound
from service.core.formats.answer import PAGE_WRITERS, described, in_same_format, page_as_file
from service.core.formats.negotiate import Format, ending_known, format_wanted
from service.core.links import link_header, next_link, say_where
from service.core.paging import PageQuery, read_cursor
from service.schools.caller import Coordinator, ReadCaller, WritingCaller
from service.schools.once import OnlyOnce
from service.schools.unchanged import only_if_changed
from service.sites.choose import sites_chosen
from service.sites.columns import SITES, flat_site
from service.sites.keep_kit import create_kit
from service.sites.keep_lot import create_lot
from service.sites.keep_site import change_site, create_site
from service.sites.keep_watershed import name_it
from service.sites.queries import kits_after, lots_after, site_by_code
from service.sites.schemas import (
    KitAnswer,
    KitBody,
    KitPage,
    LotAnswer,
    LotBody,
    LotPage,
    NamedWatershedBody,
    SiteAnswer,
    SiteBody,
    SitePage,
    SitePatch,
    SiteQuery,
    WatershedAnswer,
)
from service.sites.show_site import shown_site
from service.sites.tables import NetworkKit, SchoolKitLot

router = APIRouter(prefix="/v1")
UNLESS_UNCHANGED = [Depends(only_if_changed)]
ALSO_FILES = described(PAGE_WRITERS)


@router.post("/sites", status_code=201, tags=["steer"])
def add_site(
    request: Request,
    response: Response,
    body: SiteBody,
    session: RequestSession,
    caller: Coordinator,
    once: OnlyOnce,
) -> SiteAnswer:
    """Enter a site of a school."""
    say_where(request, response, f"/v1/sites/{body.code}")
    return once.answer(SiteAnswer, body, lambda: shown_site(create_site(session, caller, body), caller))


@router.get(
    "/sites", tags=["ask"], response_model=SitePage, responses=ALSO_FILES, dependencies=UNLESS_UNCHANGED
)
@router.get(
    "/sites.{ending}",
    name="list_sites_as",
    tags=["ask"],
    response_model=SitePage,
    responses=ALSO_FILES,
    dependencies=[Depends(ending_known), *UNLESS_UNCHANGED],
)
def list_sites(
    request: Request,
    response: Response,
    asked: Annotated[SiteQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> SitePage | Response:
    """List sites by watershed, stream and school."""
    (after,) = read_cursor(asked.cursor, [str]) if asked.cursor else ("",)
    rows = sites_chosen(request, session, caller, asked, str(after), asked.limit + 1)
    wanted = format_wanted(request, asked.f)
    link = next_link(request, asked.limit, rows, lambda row: [row.code])
    link = in_same_format(request, link, wanted, asked.f)
    shown = [shown_site(row, caller) for row in rows[: asked.limit]]
    if wanted is not Format.JSON:
        return page_as_file(request, SITES, [flat_site(site) for site in shown], wanted, link)
    link_header(response, link)
    return SitePage(items=shown, next=link)


@router.get("/sites/{code}", tags=["ask"])
def show_site(code: str, session: RequestSession, caller: ReadCaller) -> SiteAnswer:
    """Show one site."""
    site = site_by_code(session, code)
    if site is None:
        raise NotFound("There is no such site.")
    return shown_site(site, caller)


@router.patch("/sites/{code}", tags=["steer"])
def patch_site(code: str, body: SitePatch, session: RequestSession, caller: Coordinator) -> SiteAnswer:
    """Change what is known of a site."""
    return shown_site(change_site(session, caller, code, body), caller)


@router.post("/watersheds", status_code=201, tags=["steer"])
def name_watershed(body: NamedWatershedBody, session: RequestSession, caller: Coordinator) -> WatershedAnswer:
    """Give a watershed its name; the same again changes nothing."""
    watershed = name_it(session, caller, body.read(), body.name)
    return WatershedAnswer(scheme=watershed.scheme, code=watershed.code)


def _shown_kit(kit: NetworkKit) -> KitAnswer:
    return KitAnswer(**kit.model_dump(exclude={"created_at"}))


@router.post("/kits", status_code=201, tags=["steer"])
def add_kit(body: KitBody, session: RequestSession, caller: Coordinator, once: OnlyOnce) -> KitAnswer:
    """Enter a kit of the network's own, beside those of the catalogue."""
    return once.answer(KitAnswer, body, lambda: _shown_kit(create_kit(session, caller, body)))


@router.get("/kits", tags=["ask"], dependencies=UNLESS_UNCHANGED)
def list_kits(
    request: Request,
    response: Response,
    page: Annotated[PageQuery, Query()],
    session: RequestSession,
    caller: ReadCaller,
) -> KitPage:
    """List the network's own kits; those of the catalogue are at `/v1/catalogue/kits`."""
    (after,) = read_cursor(page.cursor, [str]) if page.cursor else ("",)
    rows = kits_after(session, str(after), page.limit + 1)
    link = next_link(request, page.limit, rows, lambda row: [row.code])
    link_header(response, link)
    return KitPage(items=[_shown_kit(row) for row in rows[: page.limit]], next=link)


def _shown_lot(lot: SchoolKitLot) -> LotAnswer:
    return LotAnswer(**lot.model_dump(exclude={"created_at"}))


@router.post("/kit-lots", status_code=201, tags=["submit"])
def add_kit_lot(body: LotBody, session: RequestSession, caller: WritingCaller, once: OnlyOnce) -> LotAnswer:
    """Enter a school's own box of a kit, with the day its reagents expire."""
    return once.answer(LotAnswer, body, lambda: _shown_lot(create_lot(session, caller, body)))


@router.get("/kit-lots", tags=["submit"])
def list_kit_lots(
    request: Request,
    response: Response,
    page: Annotated[PageQuery, Query()],
    session: RequestSession,
    caller: WritingCaller,
) -> LotPage:
    """List the boxes of one's own school, or for the coordinator of all."""
    school, code = read_cursor(page.cursor, [str, str]) if page.cursor else ("", "")
    rows = lots_after(session, caller.school, (str(school), str(code)), page.limit + 1)
    link = next_link(request, page.limit, rows, lambda row: [row.school, row.code])
    link_header(response, link)
    return LotPage(items=[_shown_lot(row) for row in rows[: page.limit]], next=link)
