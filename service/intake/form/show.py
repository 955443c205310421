"""The pages of the form: empty, asked back, checked, handed in."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import UTC, datetime
from typing import Any
from uuid import UUID
from zoneinfo import ZoneInfo

from fastapi import Request, Response
from sqlmodel import Session

from service.core.ids import uuid7
from service.core.settings import Settings
from service.intake.field_order import Sheet, animal_names, cautions, choices, fields
from service.intake.form.build_catch import animal_rows
from service.intake.form.build_flow import vertical_rows
from service.intake.form.draft import Draft
from service.intake.form.fields import ReadingField, reading_fields
from service.intake.form.flow_fields import BED, BOTTLES, FIRST_VERTICALS, TIMES, TRANSECTS, WAY, vertical
from service.intake.form.hand_in import HandedIn
from service.intake.form.judged import Judged
from service.intake.form.titles import title_of
from service.intake.paper.choose_kits import kits_for
from service.intake.paper.content import label_of
from service.intake.web_page import page
from service.reference.load import load_catalogue
from service.schools.caller import Caller
from service.science.gauging import Bottom
from service.sites.keep_kit import find_kits
from service.sites.queries import kits_after, lots_after
from service.sites.tables import Site
from service.visits.gauging_body import MOST_VERTICALS

STYLE = "form/form.css"
FIRST_ROWS, MORE_ROWS = 5, 6
MOST_NETWORK_KITS = MOST_BOXES = 500


@dataclass(frozen=True, slots=True)
class Form:
    """A site's form, and what was typed into it so far. ``knows_boxes``: its maker may see the school's."""

    site: Site
    draft: Draft
    readings: tuple[ReadingField, ...]
    knows_boxes: bool


@dataclass(frozen=True, slots=True)
class Shown:
    """What a page shows beside the form. ``tag`` is of the stored version that the form would correct."""

    judged: Judged | None = None
    stored: HandedIn | None = None
    tag: str = ""
    extra_rows: int = 0
    extra_places: int = 0
    headers: Mapping[str, str] = field(default_factory=dict)


def open_form(
    session: Session, site: Site, typed: Mapping[str, str], kits: str | None, caller: Caller | None = None
) -> Form:
    """Return the form of a site for the kits that were asked for, with what was typed before.

    To a ``caller`` whose key is of the site's school it offers the school's own boxes of the kits.
    """
    own = [kit.code for kit in kits_after(session, "", MOST_NETWORK_KITS)]
    network_kits = list(find_kits(session, own).values())
    knows = caller is not None and caller.sees_school(site.school)
    boxes = lots_after(session, site.school, ("", ""), MOST_BOXES) if knows else ()
    readings = reading_fields(kits_for(session, site.code, kits), network_kits, boxes, typed)
    return Form(site, Draft(typed), readings, knows)


def new_visit(site: Site, visit_id: UUID, kits: str | None) -> dict[str, str]:
    """Return what a form holds before anybody has typed anything."""
    today = datetime.now(UTC).astimezone(ZoneInfo(site.time_zone)).date()
    return {
        "site": site.code,
        "visit_id": str(visit_id),
        "date": today.isoformat(),
        "kits": kits or "",
    }


def form_page(request: Request, form: Form, shown: Shown, status: int = 200) -> Response:
    """Return the page of a form."""
    settings: Settings = request.app.state.settings
    catalogue = load_catalogue()
    rows = animal_rows(form.draft.typed) + shown.extra_rows
    answer = page(
        "form/form.html",
        STYLE,
        status,
        network=settings.network_name,
        site=form.site,
        readings=form.readings,
        typed=form.draft.typed,
        asked=form.draft.asked,
        title_of=title_of,
        label_of=label_of,
        visit=_by_name(Sheet.VISITS),
        net=_by_name(Sheet.CATCH),
        choices=choices(catalogue),
        animals=animal_names(catalogue),
        rows=range(max(rows, FIRST_ROWS)),
        knows_boxes=form.knows_boxes,
        flow=_flow(form.draft, shown.extra_places),
        cautions=cautions(),
        judged=shown.judged,
        stored=shown.stored,
        tag=shown.tag,
        spare_id=str(uuid7(only_day=True)),
    )
    answer.headers.update(shown.headers)
    return answer


def _by_name(sheet: Sheet) -> dict[str, tuple[str, Any]]:
    return {one.field: (label_of(one), one) for one in fields(sheet)}


def _flow(draft: Draft, extra_places: int) -> dict[str, Any]:
    """Return what the page needs for a gauging and for two bottles; folded up where nothing was typed."""
    rows = max((*vertical_rows(draft), -1)) + 1 + extra_places
    return {
        "way": WAY,
        "bed": (*BED, tuple(Bottom)),
        "times": TIMES,
        "transects": TRANSECTS,
        "places": [vertical(row) for row in range(min(max(rows, FIRST_VERTICALS), MOST_VERTICALS))],
        "bottles": BOTTLES,
        "gauges": extra_places > 0 or any(draft.text(name) for name in draft.typed if name.startswith("g-")),
        "bottled": any(draft.text(name) for name in draft.typed if name.startswith("b-")),
    }
