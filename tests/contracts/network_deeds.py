"""What may be done to a network: who does what to which visit, with which body, tag or decision."""

from collections.abc import Sequence
from typing import Any

from hypothesis import strategies as st

from tests.api import Json, catch, reading, visit

OWN = "own"  # the school of the site or the visit in question
CALLERS = st.sampled_from([OWN, OWN, OWN, "coordinator", "coordinator", "heron", "otter", "reader"])
IMPOSSIBLE = [reading("ph", 15)]
DOUBTFUL = [reading("ph", 3.2, kit="ph-meter")]  # suspect: a person may let it stand
# The first is good, the next are held; the others are odd in one way each.
CONTENTS: Sequence[Json] = (
    {},
    {"readings": IMPOSSIBLE},
    {"readings": DOUBTFUL},
    {"readings": [reading("transparency", 60, "cm", censored=">", kit="transparency-tube-60")]},
    {"readings": [reading("ph", None), reading("water_temperature", 7.0, "degC")]},
    {"readings": [], "catch": catch(("mayfly", 14), ("a thing with legs", 3))},
    {"readings": [], "catch": catch()},
    {"readings": [reading("nitrate", 1, "mg/L as NO3", kit="nitrate-strip")], "kind": "field-blank"},
)
BODIES = st.builds(
    lambda content, site, day, notes: visit(site, f"2026-03-{day:02}T10:15:00-05:00", **content, **notes),
    st.sampled_from(CONTENTS),
    st.sampled_from(["reed-01", "reed-02", "fern-01"]),
    st.integers(10, 12),
    st.sampled_from([{}, {"notes": "a cold morning"}, {"team": "period-3"}]),
)
TAGS = st.sampled_from(["current", "current", "current", "stale", "any", "none"])
SELDOM = st.sampled_from([False, False, False, True])
SET_FLAG = st.builds(
    lambda position, flag: {"action": "set-flag", "reading": position, "flag": flag},
    st.integers(0, 2),
    st.integers(1, 4),
)
DECISIONS = st.one_of(
    *(st.just({"action": action}) for action in ("release", "reject")),
    st.just({"action": "release", "revision": 1}),
    SET_FLAG,
)
AGAIN = {"body": BODIES, "nth": st.integers(0, 3)}
EDIT = {"body": BODIES, "which": TAGS, "moved": SELDOM, "same": SELDOM}
DECIDE = {"what": DECISIONS, "twice": SELDOM}


def deed(name: str, arguments: dict[str, st.SearchStrategy[Any]]) -> st.SearchStrategy[tuple[str, Json]]:
    return st.tuples(st.just(name), st.fixed_dictionaries(arguments))


DEEDS = st.one_of(
    *(deed("edit", EDIT),) * 4,
    *(deed("decide", DECIDE),) * 4,
    *(deed("hand_in_again", AGAIN),) * 2,
    deed("withdraw", {"which": TAGS}),
)
