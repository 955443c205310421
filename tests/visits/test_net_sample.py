"""How the net sample was taken: which groups were counted, what part was sorted, with which effort."""

from typing import Any
from uuid import UUID

import pytest
from sqlmodel import Session, col, select

from service.visits.tables import VisitRevision
from tests.api import Api, Json, catch, visit

ANIMALS = (("Heptageniidae", 60), ("Chironomidae", 50), ("worm", 20))
HOW: dict[str, Any] = {
    "gear": "d-net",
    "minutes": 20.0,
    "area_m2": 3.0,
    "jabs": 20,
    "mesh_um": 500.0,
    "sorted_share": 0.25,
    "counted_only": ["mayfly", "stoneflies", "Trichoptera"],
}
ADDED = ("jabs", "mesh_um", "sorted_share", "counted_only")
MAYFLIES_ONLY = "only mayflies were counted: a score of the whole community needs all animals"


def of_catch(answer: Json) -> list[Json]:
    return [score for score in answer["scores"] if score["inputs"] == ["catch"]]


def decide(api: Api, visit_id: str) -> Json:
    """Let the coordinator set a flag, so that everything is computed anew from what is stored."""
    decision = {"action": "set-flag", "reading": 1, "flag": 4, "reason": "wrong colour card"}
    assert api.post(f"/v1/visits/{visit_id}/decisions", decision).status_code == 200
    return dict(api.get(f"/v1/visits/{visit_id}", "heron").json())


def test_a_class_that_counted_mayflies_only_gets_no_score_of_the_community(api: Api) -> None:
    sample = catch(("Heptageniidae", 60), ("Baetidae", 80), counted_only=["mayfly"])
    stored = api.submit(visit(catch=sample))
    for answer in (stored, decide(api, stored["visit_id"])):
        scores = of_catch(answer)
        assert len(scores) > 10
        for score in scores:
            found = (score["value"], score["band"], score["standing"], score["reasons"])
            assert found == (None, None, "missing", [MAYFLIES_ONLY]), score["index"]


def test_the_groups_are_said_in_plain_words(api: Api) -> None:
    scores = of_catch(api.submit(visit(catch=catch(("Heptageniidae", 60), **HOW))))
    (reason,) = scores[0]["reasons"]
    assert reason.startswith("only mayflies, stoneflies and caddisflies were counted")


def test_all_animals_were_counted_unless_the_class_says_otherwise(api: Api) -> None:
    answer = api.submit(visit(catch=catch(*ANIMALS)))
    assert answer["catch"]["counted_only"] is None
    # 60 of 130 animals
    assert next(row for row in answer["scores"] if row["index"] == "ept-percent")["value"] == 46.15


@pytest.mark.parametrize(
    ("how", "pointer", "message"),
    [
        ({"counted_only": ["mayfly", "mayflu"]}, "/catch/counted_only/1", "did you mean mayfly"),
        ({"counted_only": ["qqqq"]}, "/catch/counted_only/0", "no animal or group"),
        ({"counted_only": ["Sphaeriidae or Baetidae"]}, "/catch/counted_only/0", "may stand for"),
        ({"counted_only": []}, "/catch/counted_only", "at least 1"),
        ({"counted_only": "mayfly"}, "/catch/counted_only", "list"),
        ({"sorted_share": 0}, "/catch/sorted_share", "greater than 0"),
        ({"sorted_share": 1.01}, "/catch/sorted_share", "less than or equal to 1"),
        ({"sorted_share": 25}, "/catch/sorted_share", "less than or equal to 1"),
        ({"jabs": 0}, "/catch/jabs", "greater than or equal to 1"),
        ({"jabs": 2.5}, "/catch/jabs", "whole number"),
        ({"mesh_um": 0}, "/catch/mesh_um", "greater than 0"),
    ],
)
def test_what_cannot_be_is_refused_by_its_place(api: Api, how: Json, pointer: str, message: str) -> None:
    answer = api.post("/v1/visits", visit(catch=catch(*ANIMALS) | how), "heron")
    assert answer.status_code == 422
    (error,) = answer.json()["errors"]
    assert error["pointer"] == pointer
    assert message in error["message"]


def test_how_the_sample_was_taken_reads_back_as_it_was_sent(api: Api) -> None:
    stored = api.submit(visit(catch=catch(*ANIMALS, **HOW)))
    address = f"/v1/visits/{stored['visit_id']}"
    (revision,) = api.get(f"{address}/revisions", "heron").json()["items"]
    for read in (stored["catch"], api.get(address, "heron").json()["catch"], revision["handed_in"]["catch"]):
        assert {name: read[name] for name in HOW} == HOW


def test_a_subsample_gives_the_streamside_survey_no_rating_word(api: Api) -> None:
    whole, part = (
        {row["index"]: row for row in api.submit(visit(catch=sample, team=str(place)))["scores"]}
        for place, sample in enumerate(
            (catch(*ANIMALS, gear="d-net"), catch(*ANIMALS, ("leech", 1), gear="d-net", sorted_share=0.25))
        )
    )
    assert whole["streamside-survey"]["band"] is not None
    assert (part["streamside-survey"]["band"], part["streamside-survey"]["standing"]) == (None, "provisional")
    assert part["family-biotic-extended"]["band"] is not None
    assert any("only 25 % of the sample was sorted" in reason for reason in part["taxa-richness"]["reasons"])


def forget_what_was_added(api: Api, visit_id: str) -> None:
    """Leave the stored document of a catch as the first release wrote it."""
    with Session(api.engine) as session:
        found = select(VisitRevision).where(col(VisitRevision.visit_id) == UUID(visit_id))
        revision = session.exec(found).one()
        assert revision.catch is not None
        revision.catch = {name: value for name, value in revision.catch.items() if name not in ADDED}
        session.add(revision)
        session.commit()


def test_a_catch_of_the_first_release_reads_and_scores_as_before(api: Api) -> None:
    body = visit(visit_id="0190a5b0-0000-7000-8000-000000000001", catch=catch(*ANIMALS, gear="d-net"))
    stored = api.submit(body)
    forget_what_was_added(api, stored["visit_id"])
    assert api.get(f"/v1/visits/{stored['visit_id']}", "heron").json() == stored
    assert api.submit(body) == stored
    again = decide(api, stored["visit_id"])
    assert of_catch(again) == of_catch(stored) != []


def test_what_was_only_found_is_kept_and_scored_by_presence_alone(api: Api) -> None:
    lines = [{"taxon": name, "abundance": "P"} for name in ("stonefly", "mayfly", "midge")]
    stored = api.submit(visit(catch={"count_scheme": "presence", "counts": lines}))
    for answer in (stored, decide(api, stored["visit_id"])):
        assert [line["abundance"] for line in answer["catch"]["counts"]] == ["P", "P", "P"]
        scores = {score["index"]: score for score in of_catch(answer)}
        assert scores["presence-sum"]["value"] == 9.0  # 4 + 3 + 2, the weights of the list
        assert scores["taxa-richness"]["standing"] == "missing"
