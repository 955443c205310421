"""What people read where the form cannot be served: what happened, what to do, and what they had typed."""

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from fastapi import Response

from service.core.door.for_people import Refusal
from service.core.errors import BadQuery
from service.core.schema import CODE_PATTERN
from service.intake.form.titles import title_of
from service.intake.form.typed import MEDIA_TYPE, read_typed, without_key
from service.intake.web_page import page

STYLE = "form/form.css"
ONLY_FOR_MACHINES = frozenset(
    {"site", "school", "visit_id", "spare_id", "kits", "tag", "do", "add", "twice", "comma"}
)


@dataclass(frozen=True, slots=True)
class Told:
    """What is said of a status. Without ``happened`` the refusal says it itself; ``again``: send it again."""

    title: str
    todo: str
    happened: str = ""
    again: bool = False


ANEW = "Open the form of your site anew; whatever you had typed stands below."
TOLD: Mapping[int, Told] = {
    400: Told("This cannot be read", ANEW),
    401: Told(
        "The key of a school is needed", "Type the key; the coordinator gave it to your school.", "", True
    ),
    404: Told("This is not there", ANEW),
    408: Told(
        "The line was too slow",
        "Send it again where the line is better.",
        "What you sent did not arrive whole in time.",
        True,
    ),
    413: Told(
        "This is too much for one visit",
        "Go back in your browser: what you typed is still there. Make the notes shorter, then send it again.",
        "What you sent is larger than any visit can be.",
    ),
    429: Told("Please wait a little", "Then type the key again and press the button.", "", True),
    500: Told(
        "The service failed",
        "Send it again. If it fails again, keep your sheet and tell the coordinator the number below.",
        "Something here went wrong; it is no fault of yours.",
        True,
    ),
    503: Told("Please wait a moment", "Type the key again and press the button.", "", True),
    507: Told("There is no room left here", "Send it again later.", "", True),
}
OTHERWISE = Told("This did not work", ANEW)


def refusal_pages(network: str) -> Callable[[Refusal], Response]:
    """Return what makes the page of a refusal, for a network of this name."""

    def made(refusal: Refusal) -> Response:
        told = TOLD.get(refusal.status, OTHERWISE)
        typed = _typed(refusal.sent)
        site = typed.get("site", "")
        return page(
            "form/refused.html",
            STYLE,
            refusal.status,
            network=network,
            told=told,
            happened=told.happened or refusal.detail,
            number=refusal.request_id if refusal.status >= 500 else "",
            typed=typed,
            lines=_lines(typed),
            site=site if re.fullmatch(CODE_PATTERN, site) else "",
            opens=refusal.status == 401 and not typed,
            checks=refusal.query == "dry_run=true",
        )

    return made


def _typed(sent: bytes) -> Mapping[str, str]:
    try:
        return without_key(read_typed(sent, MEDIA_TYPE)) if sent else {}
    except BadQuery:
        return {}


def _lines(typed: Mapping[str, str]) -> list[tuple[str, str]]:
    """Return what somebody has typed, as he would know it again: the name of each field, and its words."""
    return [
        (title_of(name), text)
        for name, text in typed.items()
        if text and name not in ONLY_FOR_MACHINES and not name.endswith("-kit")
    ]
