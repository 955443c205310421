"""Whatever is written into a field is refused in words that lead to it, or reads back as it was sent.

The values are those of nasty_values.txt. Here each of them is tried in a field of each sort, and some in
every field; `tests/soak/nasty_values.py` tries all in all.
"""

import itertools
from collections import defaultdict
from collections.abc import Iterator
from contextlib import nullcontext

import pytest

from service.core.schema import one_line
from tests.api import Api, Json, reading, visit
from tests.contracts.nasty_fields import WritableField, nasty_values, writable_fields
from tests.contracts.nasty_routes import CARD, ROUTES, enter
from tests.contracts.nasty_trial import Trial

on_sqlite = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
IN_EVERY_FIELD = 6
IN_EVERY_TEXT = '"a\\u0000@b.c"'  # PostgreSQL has no place for it, SQLite has
SORTS = {
    "string": "text", "email": "text", "number": "number", "integer": "number", "date": "time",
    "date-time": "time", "enum": "choice", "uuid": "choice", "boolean": "choice", "null": "choice",
    "array": "nest", "object": "nest",
}  # fmt: skip


def spread(fields: list[WritableField], values: list[str]) -> Iterator[tuple[WritableField, str]]:
    """Give each value to one field of each sort in turn, and then some more to the fields that got few."""
    of_sort: defaultdict[str, list[WritableField]] = defaultdict(list)
    for one in fields:
        of_sort[SORTS[one.kind]].append(one)
    yield from ((one, IN_EVERY_TEXT) for one in of_sort["text"])
    for alike in of_sort.values():
        for number, value in enumerate(values):
            yield alike[number % len(alike)], value
        for number, one in enumerate(alike):
            for further in range(IN_EVERY_FIELD - len(values) // len(alike)):
                yield one, values[(number * 7 + further * 61) % len(values)]


def test_the_values_are_many_and_each_another() -> None:
    values = nasty_values()
    assert len(values) == len(set(values)) >= 300


@on_sqlite
def test_every_body_that_is_taken_has_its_entry_and_what_values_are_tried_in_is_right(api: Api) -> None:
    fields = writable_fields(api.client.app.openapi())
    assert {(one.method, one.path) for one in fields} == set(ROUTES)
    enter(api)
    stored = itertools.count()
    for (method, path), route in ROUTES.items():
        for number, _ in enumerate(route.bodies(0)):
            body = route.bodies(number)[number]
            headers = dict(route.headers)
            answer = api.call(method, route.address(next(stored)), "coordinator", json=body, headers=headers)
            assert answer.is_success, (method, path, answer.text)


@on_sqlite
def test_each_value_in_a_field_is_refused_by_its_name_or_reads_back_the_same(api: Api) -> None:
    fields = writable_fields(api.client.app.openapi())
    tried = Trial(api).attempt_all(spread(fields, nasty_values()))
    assert tried.wrong == []
    assert tried.refused > tried.stored > 200


@on_sqlite
@pytest.mark.parametrize("scale", [{"step": 1e-6}, {"marks": [-1e9, 1e9]}, {"step": 1e9, "accuracy": 1e-6}])
def test_readings_with_a_kit_at_the_edges_of_what_kits_can_be_are_taken(api: Api, scale: Json) -> None:
    kit = CARD | {"code": "edge", "lower": -1e9, "upper": 1e9} | scale
    assert api.post("/v1/kits", kit).status_code == 201
    for number, value in enumerate((-1e9, 0, 7, 1e9)):
        api.submit(visit(team=f"team-{number}", readings=[reading("ph", value, kit="edge")]))


TEXTS = [
    ("Reed below the mill", True),
    ("क्\u200dष", True),  # a joiner between letters of a script that needs it
    ("👩\u200d🔬", True),
    ("a\u200db", False),
    ("reed\u200b", False),
    ("\u202egnp.exe", False),
    ("\u2066a\u2069", False),
    ("\ufeffreed", False),
    ("reed\u00ad", False),
    ("reed\u007f", False),
    ("reed\u0085", False),
    ("reed\u009f", False),
    ("reed\u2028", False),
    ("reed\tbelow", False),
    ("reed\uffff", False),
    (" ", False),
    ("\u00a0\u3000", False),
    ("\u2800", False),
    ("\u3164", False),
]


@pytest.mark.parametrize(("text", "fits"), TEXTS)
def test_a_name_is_one_line_of_what_can_be_seen(text: str, fits: bool) -> None:
    # Unicode 16, general categories Cc, Zl and Zp; property Default_Ignorable_Code_Point.
    with nullcontext() if fits else pytest.raises(ValueError, match=r"holds|blank"):
        assert one_line(text) == text
