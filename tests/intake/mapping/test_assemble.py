from typing import Any

import pytest
from pydantic import TypeAdapter

from service.intake.mapping.assemble import LONGEST_NOTES, assemble
from service.intake.mapping.assembled import Assembled, Origin
from service.intake.mapping.join_counts import MOST_LINES
from service.intake.mapping.join_readings import MOST_READINGS, MOST_REPEATS
from service.intake.mapping.part import Part, Sent, VisitKey
from service.visits.schemas import CatchBody, ReadingBody, VisitBody

KEY = VisitKey("2026-05-14T13:40:00Z", "mill-creek-1", "-04:00")


def part(row: int, *readings: tuple[str, float] | tuple[str, float, int], **more: Any) -> Part:
    names = ("parameter", "value", "replicate")
    sent = [Sent(dict(zip(names, reading, strict=False)), f"{reading[0]} (column D)") for reading in readings]
    return Part(row, readings=tuple(sent), **more)


def find(row: int, taxon: str, stage: str = "", **found: int | str) -> Part:
    line = {"taxon": taxon, **found} | ({"life_stage": stage} if stage else {})
    scheme = "rcd-1-10-100" if "abundance" in found else "counts"
    return Part(row, counts=(Sent(line, "Animal (column D)"),), catch={"count_scheme": Sent(scheme, "")})


def problems(made: Assembled) -> list[tuple[int, str, str]]:
    return [(row, told.column, told.reason) for row, told in made.problems]


def test_one_row_is_one_visit_that_the_rules_of_visits_take() -> None:
    made = assemble(KEY, [part(2, ("ph", 7.1))])
    assert made.body == {
        "site": "mill-creek-1",
        "observed_at": "2026-05-14T09:40:00-04:00",
        "readings": [{"parameter": "ph", "value": 7.1}],
    }
    assert VisitBody.model_validate(made.body).site == "mill-creek-1"


@pytest.mark.parametrize(
    ("instant", "offset", "local"),
    [
        ("2026-05-14T13:40:00Z", "+00:00", "2026-05-14T13:40:00+00:00"),
        ("2026-05-15T04:00:30Z", "-04:00", "2026-05-15T00:00:30-04:00"),
        ("2026-05-14T20:00:00Z", "+05:45", "2026-05-15T01:45:00+05:45"),
        ("2026-05-14T02:00:00Z", "-03:30", "2026-05-13T22:30:00-03:30"),
    ],
)
def test_the_instant_is_sent_as_the_clock_showed_it(instant: str, offset: str, local: str) -> None:
    assert assemble(VisitKey(instant, "s", offset), [part(2, ("ph", 7.1))]).body["observed_at"] == local


def test_a_row_that_says_what_an_earlier_one_says_is_told() -> None:
    made = assemble(KEY, [part(2, ("ph", 7.1)), part(3, ("ph", 7.2)), part(4, ("ph", 7.1))])
    assert [reading["replicate"] for reading in made.body["readings"]] == [1, 2, 3]
    ((row, told),) = made.remarks
    assert row == 4
    assert "exactly what row 2 of the same visit says" in told.reason


def test_team_and_kind_are_sent_where_they_say_something() -> None:
    key = VisitKey(KEY.instant, KEY.site, KEY.offset, "blue", "field-blank", ("x",))
    body = assemble(key, [part(2, ("ph", 7.1))]).body
    assert (body["team"], body["kind"]) == ("blue", "field-blank")


@pytest.mark.parametrize(
    ("parts", "numbers"),
    [
        ([part(2, ("ph", 7.1)), part(3, ("ph", 7.2)), part(4, ("turbidity", 3))], [1, 2, None]),
        ([part(2, ("ph", 7.1, 2)), part(3, ("ph", 7.2)), part(4, ("ph", 7.3))], [2, 1, 3]),
        ([part(2, ("ph", 7.1, 3)), part(3, ("ph", 7.2, 1))], [3, 1]),
        ([part(2, ("ph", 7.1, 4))], [4]),
    ],
)
def test_repeats_are_numbered(parts: list[Part], numbers: list[int | None]) -> None:
    readings = assemble(KEY, parts).body["readings"]
    assert [reading.get("replicate") for reading in readings] == numbers


def test_a_number_of_a_repeat_that_comes_twice() -> None:
    made = assemble(KEY, [part(2, ("ph", 7.1, 1)), part(5, ("ph", 7.2, 1))])
    assert problems(made) == [
        (5, "ph (column D)", "row 2 of the same visit has repeat 1 of it too; number them anew")
    ]


def test_finds_of_one_animal_and_stage_are_added_and_told() -> None:
    made = assemble(
        KEY,
        [
            find(2, "Baetis sp.", "larva", count=3),
            find(3, "Perla", count=1),
            find(7, "baetis  SP.", "larva", count=4),
            find(8, "Baetis sp.", "adult", count=2),
        ],
    )
    assert made.body["catch"] == {
        "count_scheme": "counts",
        "counts": [
            {"taxon": "Baetis sp.", "count": 7, "life_stage": "larva"},
            {"taxon": "Perla", "count": 1},
            {"taxon": "Baetis sp.", "count": 2, "life_stage": "adult"},
        ],
    }
    assert [(row, told.reason) for row, told in made.remarks] == [
        (7, "4 more of the animal of row 2: added, 7 together")
    ]
    assert made.problems == []


def test_two_letters_of_one_animal_cannot_be_added() -> None:
    made = assemble(KEY, [find(2, "mayfly", abundance="R"), find(3, "Mayfly", abundance="C")])
    assert [(row, reason[:5]) for row, _, reason in problems(made)] == [(3, "row 2")]


def test_what_parts_were_given_is_not_changed() -> None:
    parts = [find(2, "mayfly", count=3), find(3, "mayfly", count=4)]
    assert assemble(KEY, parts).body == assemble(KEY, parts).body


CONDITIONS = {"air_temperature_c": Sent(21.0, "Air (column E)")}


def test_what_all_rows_say_is_said_once() -> None:
    made = assemble(KEY, [part(2, ("ph", 7.1), conditions=CONDITIONS), part(3, conditions=CONDITIONS)])
    assert made.body["conditions"] == {"air_temperature_c": 21.0}
    assert made.problems == []


def test_rows_that_contradict_each_other() -> None:
    other = {"air_temperature_c": Sent(19.5, "Air (column E)")}
    made = assemble(KEY, [part(2, ("ph", 7.1), conditions=CONDITIONS), part(9, conditions=other)])
    ((row, column, reason),) = problems(made)
    assert (row, column) == (9, "Air (column E)")
    assert reason.startswith("row 2 of the same visit says 21.0, this one 19.5; correct one")


def test_rows_that_contradict_each_other_on_the_catch() -> None:
    first, second = find(2, "mayfly", count=1), find(3, "Perla", count=1)
    area = [
        Part(one.row, counts=one.counts, catch={"area_m2": Sent(size, "Area")})
        for one, size in ((first, 0.5), (second, 0.25))
    ]
    assert [(row, column) for row, column, _ in problems(assemble(KEY, area))] == [(3, "Area")]


def test_notes_are_joined_and_told_once() -> None:
    note = (Sent("Remarks: cold", "Remarks (column F)"),)
    more = (Sent("Seen: heron", "Seen (column G)"),)
    made = assemble(
        KEY,
        [
            part(2, ("ph", 7.1), notes=note, assumed_time="10:00"),
            part(3, notes=note + more, assumed_time="10:00"),
        ],
    )
    assert made.body["notes"] == "time of day not noted; 10:00 taken\nRemarks: cold\nSeen: heron"


@pytest.mark.parametrize(
    ("parts", "told"),
    [
        ([part(2, *[("ph", 7.0)] * 51)], "51 readings of ph at one site and time, and 50 are the most"),
        (
            [part(2, *[("ph", 7.0)] * 50, *[("turbidity", 3.0)] * 50, ("salinity", 1.0))],
            "101 readings at one site",
        ),
        ([find(2 + n, f"animal {n}", count=1) for n in range(301)], "301 kinds of animals in one catch"),
        (
            [part(2, ("ph", 7.0), notes=(Sent("n" * 2001, "Notes"),))],
            "have 2001 letters, and 2000 are the most",
        ),
    ],
)
def test_more_than_a_visit_holds(parts: list[Part], told: str) -> None:
    ((row, _, reason),) = problems(assemble(KEY, parts))
    assert row == 2
    assert told in reason


def test_the_most_that_a_visit_holds_goes_in() -> None:
    parts = [
        part(2, *[("ph", 7.0)] * 50, *[("turbidity", 3.0)] * 50, notes=(Sent("n" * 2000, "Notes"),)),
        *(find(3 + n, f"animal {n}", count=1) for n in range(300)),
    ]
    made = assemble(KEY, parts)
    assert made.problems == []
    with_units = [
        {**one, "unit": {"ph": "std units", "turbidity": "NTU"}[one["parameter"]]}
        for one in made.body["readings"]
    ]
    VisitBody.model_validate({**made.body, "readings": with_units})


def test_the_limits_are_those_of_the_visits_themselves() -> None:
    visit, catch, reading = (TypeAdapter(body).json_schema() for body in (VisitBody, CatchBody, ReadingBody))
    assert visit["properties"]["readings"]["maxItems"] == MOST_READINGS
    assert catch["properties"]["counts"]["maxItems"] == MOST_LINES
    assert reading["properties"]["replicate"]["anyOf"][0]["maximum"] == MOST_REPEATS
    assert visit["properties"]["notes"]["anyOf"][0]["maxLength"] == LONGEST_NOTES


def test_the_way_back_from_the_body_to_the_sheet() -> None:
    heads = {"site": "Site (column A)", "observed_at": "Day (column B)"}
    made = assemble(
        KEY,
        [
            part(4, ("ph", 7.1), heads=heads, conditions=CONDITIONS),
            find(5, "mayfly", count=1),
            part(6, ("turbidity", 3.0), notes=(Sent("a", "Notes (column G)"),)),
        ],
    )
    assert {
        pointer: made.origin(pointer)
        for pointer in (
            "", "/site", "/observed_at", "/team", "/readings/0/value", "/readings/1", "/readings/1/unit",
            "/catch/counts/0/taxon", "/catch", "/conditions/air_temperature_c", "/notes",
        )
    } == {
        "": Origin(4),
        "/site": Origin(4, "Site (column A)"),
        "/observed_at": Origin(4, "Day (column B)"),
        "/team": Origin(4),
        "/readings/0/value": Origin(4, "ph (column D)"),
        "/readings/1": Origin(6, "turbidity (column D)"),
        "/readings/1/unit": Origin(6, "turbidity (column D)"),
        "/catch/counts/0/taxon": Origin(5, "Animal (column D)"),
        "/catch": Origin(4),
        "/conditions/air_temperature_c": Origin(4, "Air (column E)"),
        "/notes": Origin(6, "Notes (column G)"),
    }  # fmt: skip


def test_parts_come_back_from_the_shelf_as_they_were() -> None:
    whole = Part(
        row=17,
        readings=(Sent({"parameter": "ph", "value": 7.1}, "pH (column D)"),),
        counts=(Sent({"taxon": 'Grüne "Laus"', "count": 3}, "Animal"),),
        catch={"area_m2": Sent(0.5, ""), "counted_only": Sent(["mayfly"], "")},
        conditions=CONDITIONS,
        notes=(Sent("a\nb", "Notes"),),
        assumed_time="10:00",
        heads={"site": "Site (column A)"},
    )
    bare = Part(2)
    assert [Part.from_json(one.as_json()) for one in (whole, bare)] == [whole, bare]
