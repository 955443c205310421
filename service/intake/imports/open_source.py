"""Which way a file is read: by a mapping, as the network's own template, or as one visit a line."""

from collections.abc import Mapping as Dictionary
from pathlib import Path

from sqlmodel import Session

from service.intake.imports.lines import Lines
from service.intake.imports.sheets_source import Sheets
from service.intake.imports.source import Source
from service.intake.mapping.load_mapping import load_mapping
from service.intake.mapping.schemas import Mapping
from service.intake.mapping.sites import Place
from service.intake.template.own_mapping import template_mappings
from service.sites.queries import sites_after

NDJSON = ("application/x-ndjson", "application/ndjson", "application/jsonl", "application/json-lines")
LINE_ENDINGS = (".ndjson", ".jsonl")
MOST_SITES = 100_000
BEGINNING_BYTES = 64


def places_of(session: Session, school: str) -> Dictionary[str, tuple[str, str]]:
    """Return the sites that a school's file may speak of: name and time zone by code."""
    rows = sites_after(session, "", MOST_SITES, school=school)
    return {row.code: Place(row.name, row.time_zone) for row in rows}


def mapping_from(text: str) -> Mapping:
    """Return the mapping that a JSON or TOML text describes.

    Raises
    ------
    Invalid
        It is neither, or breaks the rules of a mapping.
    """
    return load_mapping(text, "json" if text.lstrip().startswith("{") else "toml")


def open_source(
    path: Path, name: str, media_type: str, mapping: Mapping | None, places: Dictionary[str, tuple[str, str]]
) -> tuple[Source, str]:
    """Return a file as it is to be read without being told, and what that way is called.

    Raises
    ------
    Unreadable
        It has no mapping, and is neither the template nor one visit a line.
    """
    if mapping is not None:
        return Sheets(path, [mapping], places), "sent with the file"
    if media_type in NDJSON or name.lower().endswith(LINE_ENDINGS) or _begins_with_an_object(path):
        return Lines(path), "one visit a line"
    return Sheets(path, template_mappings(path), places), "template"


def _begins_with_an_object(path: Path) -> bool:
    with path.open("rb") as file:
        return file.read(BEGINNING_BYTES).lstrip(b"\xef\xbb\xbf \t\r\n").startswith(b"{")
