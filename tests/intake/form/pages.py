"""Forms as a browser would fill them in: what a page holds, and how it is sent."""

from html.parser import HTMLParser
from typing import Any
from urllib.parse import urlencode

from tests.api import Api

FORM = "application/x-www-form-urlencoded"
TYPED = {
    "date": "2026-03-12",
    "time": "10:15",
    "team": "period-2",
    "r-water_temperature-value": "6.5",
    "r-ph-value": "7",
    "r-dissolved_oxygen-value": "8",
}


class Fields(HTMLParser):
    """What a form would send as it stands, and what its page holds besides."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.fields: dict[str, str] = {}
        self.labelled: set[str] = set()
        self.controls: dict[str, dict[str, str | None]] = {}
        self.ids: list[str] = []
        self.links: list[str] = []
        self.tags: list[str] = []
        self._select = self._textarea = ""
        self._is_first = False
        self.feed(page)

    def handle_starttag(self, tag: str, attributes: list[tuple[str, str | None]]) -> None:
        told = dict(attributes)
        name = told.get("name") or ""
        self.tags.append(tag)
        self.ids += [one for one in (told.get("id"),) if one]
        if tag == "a":
            self.links.append(told.get("href") or "")
        if tag == "label":
            self.labelled.add(told.get("for") or "")
        if tag in {"input", "select", "textarea"} and told.get("type") != "hidden":
            self.controls[name] = told
        if tag == "input" and (told.get("type") != "checkbox" or "checked" in told):
            self.fields[name] = told.get("value") or ""
        self._select = name if tag == "select" else self._select
        if tag == "select":
            self._is_first = True
        if tag == "option" and self._select and (self._is_first or "selected" in told):
            self.fields[self._select] = told.get("value") or ""
            self._is_first, self._waits = False, "value" not in told
        elif tag == "option":
            self._waits = False
        if tag == "textarea":
            self._textarea, self.fields[name] = name, ""

    def handle_data(self, data: str) -> None:
        if self._textarea:
            self.fields[self._textarea] += data
        elif self._select and getattr(self, "_waits", False) and data.strip():
            self.fields[self._select], self._waits = data.strip(), False

    def handle_endtag(self, tag: str) -> None:
        if tag == "textarea":
            self._textarea = ""
        if tag == "select":
            self._select = ""


def opened(api: Api, site: str = "reed-02", more: str = "") -> dict[str, str]:
    """Open the form of a site and return what it would send."""
    answer = api.get(f"/form?site={site}{more}")
    assert answer.status_code == 200, answer.text
    return Fields(answer.text).fields


def send(api: Api, fields: dict[str, str], *, dry_run: bool = False) -> Any:
    """Press "Check" or "Hand in"."""
    address = "/form?dry_run=true" if dry_run else "/form"
    return api.call("POST", address, content=urlencode(fields), headers={"Content-Type": FORM})


def filled(api: Api, **more: str) -> dict[str, str]:
    """Open a form and fill it in with a visit that the checks let pass."""
    return (
        opened(api)
        | TYPED
        | {"key": api.keys["heron"]}
        | {name.replace("__", "-"): text for name, text in more.items()}
    )


def visits(api: Api) -> list[Any]:
    """Return all visits that are stored."""
    return api.every("/v1/visits", "coordinator")
