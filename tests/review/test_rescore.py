"""Scoring stored visits anew: only what is stale, the old definition kept, safe to stop and start again."""

from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

import pytest
import sqlalchemy as sa
from sqlmodel import Session

from service.reference import load
from service.review import rescore
from service.review.rescore import rescore_all
from tests.api import Api, Json, catch, visit

ANIMALS = (("Heptageniidae", 60), ("Hydropsychidae", 40), ("Chironomidae", 30))
FAMILY_INDEX = "family-biotic-extended"


def score_anew(api: Api, *, batches: int | None = None) -> list[tuple[int, int, int]]:
    """Score anew, every batch committed; stop after some of them as a killed process would."""
    told = []
    with Session(api.engine, expire_on_commit=False) as session:
        for _, *numbers in rescore_all(session, None):
            session.commit()
            told.append(tuple(numbers))
            if len(told) == batches:
                break
    return told


def standing(api: Api, visit_id: str) -> dict[str, tuple[int, str | None]]:
    scores = api.get(f"/v1/visits/{visit_id}", "coordinator").json()["scores"]
    return {score["index"]: (score["definition"], score["band"]) for score in scores}


@pytest.fixture
def new_definition(monkeypatch: pytest.MonkeyPatch) -> Callable[[], None]:
    """Give the family index a second definition, all of whose animals are "good", when it is called."""

    def give() -> None:
        catalogue = load.load_catalogue()
        first = catalogue.definitions[FAMILY_INDEX]
        one_band = (replace(first.bands[0], name="good", lower=Decimal("0.00"), upper=Decimal("10.00")),)
        second = replace(first, number=2, bands=one_band)
        changed = replace(
            catalogue,
            definitions={**catalogue.definitions, FAMILY_INDEX: second},
            all_definitions={**catalogue.all_definitions, (FAMILY_INDEX, 2): second},
            version="changed",
        )
        monkeypatch.setattr(load, "_of_the_service", lambda: changed)

    return give


def test_nothing_is_scored_anew_while_nothing_has_changed(api: Api) -> None:
    api.submit(visit(catch=catch(*ANIMALS)))
    assert score_anew(api) == [(1, 0, 0)]


def test_a_new_definition_scores_old_visits_and_the_old_score_stays_readable(
    api: Api, new_definition: Callable[[], None]
) -> None:
    stored = api.submit(visit(catch=catch(*ANIMALS)))
    before = {score["index"]: score for score in stored["scores"]}[FAMILY_INDEX]
    new_definition()
    assert score_anew(api) == [(1, 1, 1)]
    assert standing(api, stored["visit_id"])[FAMILY_INDEX] == (2, "good")
    old = api.get(f"/v1/scores?index={FAMILY_INDEX}&definition=1", "coordinator").json()["items"]
    assert [(row["definition"], row["value"], row["band"]) for row in old] == [
        (1, before["value"], before["band"])
    ]
    newest = api.get(f"/v1/scores?index={FAMILY_INDEX}", "coordinator").json()["items"]
    assert [row["definition"] for row in newest] == [2]


def test_scores_of_other_indices_come_out_with_the_same_numbers(
    api: Api, new_definition: Callable[[], None]
) -> None:
    stored = api.submit(visit(catch=catch(*ANIMALS)))
    new_definition()
    score_anew(api)
    again = api.get(f"/v1/visits/{stored['visit_id']}", "coordinator").json()["scores"]
    assert others(again) == others(stored["scores"])


def others(scores: list[Json]) -> list[Json]:
    return [score | {"reference_version": ""} for score in scores if score["index"] != FAMILY_INDEX]


def test_scoring_goes_on_where_it_was_stopped(
    api: Api, new_definition: Callable[[], None], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(rescore, "BATCH", 1)
    for day in (12, 13, 14):
        api.submit(visit(observed_at=f"2026-03-{day}T10:15:00-04:00", catch=catch(*ANIMALS, ("leech", day))))
    new_definition()
    assert score_anew(api, batches=2) == [(1, 1, 1), (1, 1, 1)]
    assert score_anew(api) == [(1, 0, 0), (1, 0, 0), (1, 1, 1)]


def test_a_new_score_is_a_change_that_others_are_told_of(
    api: Api, new_definition: Callable[[], None]
) -> None:
    api.submit(visit(catch=catch(*ANIMALS)))
    changes = number_of_changes(api)
    new_definition()
    score_anew(api)
    assert number_of_changes(api) == changes + 1


def number_of_changes(api: Api) -> int:
    with Session(api.engine) as session:
        return session.scalar(sa.text("SELECT count(*) FROM change")) or 0
