"""What becomes of a row, and what is said of it."""

from collections.abc import Mapping
from enum import StrEnum


class Fate(StrEnum):
    """What became of a row. Every row has one, and they add up to the rows of the file."""

    STORED = "stored"
    WOULD_STORE = "would_store"
    HELD = "held"
    WOULD_HOLD = "would_hold"
    KNOWN = "known"
    CHANGED = "changed"
    REVISED = "revised"
    MERGED = "merged"
    LEFT_OUT = "left_out"
    REFUSED = "refused"


AGAIN = "Correct the file and send it again whole: what is stored already is not doubled."
WHAT_TO_DO = {
    Fate.STORED: "",
    Fate.WOULD_STORE: "It is stored when you send the file without dry_run.",
    Fate.HELD: "It waits until the coordinator has looked at it. Where the sheet is wrong, correct it and "
    "send it again with revise=true.",
    Fate.WOULD_HOLD: "Look at what is said of it and at the water once more. Sent as it is, it waits until "
    "the coordinator has looked at it.",
    Fate.KNOWN: "It is stored already, exactly so; there is nothing to do.",
    Fate.CHANGED: "A visit of this place and moment is stored with other content, and nothing was changed. "
    "Where this file is right, send it again with revise=true.",
    Fate.REVISED: "",
    Fate.MERGED: "",
    Fate.LEFT_OUT: "",
    Fate.REFUSED: AGAIN,
}


def what_next(totals: Mapping[str, int], sent: str, *, dry_run: bool) -> str:
    """Return what whoever sent a file or a list should do with it now; empty: nothing."""
    told = ""
    if dry_run:
        told += " Nothing was stored."
        if totals.get(Fate.WOULD_STORE) or totals.get(Fate.WOULD_HOLD):
            told += f" Send the {sent} without dry_run to store it."
    if totals.get(Fate.REFUSED):
        told += f" Correct what is refused and send the {sent} again; what is stored is not doubled."
    return told
