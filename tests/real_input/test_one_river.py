"""A real river of which only the mayflies were counted: no score of the whole community may come of it.

The file has 24 rows, six sites in four seasons, with 13 mayfly taxa each; two of its names are spelt wrongly.
It has seasons and no dates, so a day of each season is made up here. Its other columns have no units and are
not handed in.
"""

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from fastapi.testclient import TestClient

from service.app import create_app
from service.core.migrate import upgrade
from service.core.settings import Settings
from service.schools.tables import Role
from tests.api import Api, Json
from tests.databases import new_sqlite, spare_the_disk
from tests.real_input.class_files import Row, rows_of

FILE = "one-river-six-sites-four-seasons.csv"
NOT_AN_ANIMAL = 13  # sample, season, site and ten columns of the water
DAYS = {"spring": "03-15", "summer": "06-15", "autumn": "09-15", "winter": "12-15"}
EITHER_WAY = pytest.mark.parametrize("river", [False, True], indirect=True, ids=["undeclared", "declared"])
DECLARED = pytest.mark.parametrize("river", [True], indirect=True, ids=["declared"])
UNDECLARED = pytest.mark.parametrize("river", [False], indirect=True, ids=["undeclared"])
MAYFLIES_ONLY = "only mayflies were counted: a score of the whole community needs all animals"


@dataclass(frozen=True)
class River:
    """The rows of the file, whether they were declared as mayflies only, and what is stored of each."""

    rows: list[Row]
    declared: bool
    documents: list[Json]

    def scores(self) -> Iterator[tuple[str, Json]]:
        """Yield the sample and each score of its catch."""
        for row, document in zip(self.rows, self.documents, strict=True):
            for score in document["scores"]:
                if score["inputs"] == ["catch"]:
                    yield row["sample"], score


@pytest.fixture(scope="module")
def river(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Iterator[River]:
    """Every row handed in as a catch; SQLite alone, for nothing here hangs on the database."""
    rows = rows_of(FILE)
    url = new_sqlite(tmp_path_factory.mktemp("river"))
    upgrade(url)
    with TestClient(create_app(Settings(database_url=url)), raise_server_exceptions=False) as client:
        api = Api(client, client.app.state.engine)
        spare_the_disk(api.engine)
        api.keys["coordinator"] = api.key(Role.COORDINATOR)
        school = {"code": "river", "name": "River School", "time_zone": "Europe/Paris"}
        assert api.post("/v1/schools", school).status_code == 201
        for code in sorted({row["site"].lower() for row in rows}):
            site = {"code": code, "name": f"Site {code}", "school": "river"}
            assert api.post("/v1/sites", site).status_code == 201
        yield River(rows, request.param, [_hand_in(api, row, declared=request.param) for row in rows])


def mayflies_of(row: Row) -> dict[str, int]:
    return {name: int(row[name]) for name in list(row)[NOT_AN_ANIMAL:]}


def _hand_in(api: Api, row: Row, *, declared: bool) -> Json:
    counts = [{"taxon": name, "count": number} for name, number in mayflies_of(row).items()]
    catch = {"count_scheme": "counts", "counts": counts} | ({"counted_only": ["mayfly"]} if declared else {})
    observed_at = f"2020-{DAYS[row['season']]}T12:00:00+00:00"
    visit_id = api.submit(
        {"site": row["site"].lower(), "observed_at": observed_at, "catch": catch}, "coordinator"
    )["visit_id"]
    return dict(api.get(f"/v1/visits/{visit_id}", "coordinator").json())


@EITHER_WAY
def test_every_row_reads_back_with_its_mayflies(river: River) -> None:
    assert len(river.rows) == 24
    for row, document in zip(river.rows, river.documents, strict=True):
        counts = {line["written_name"]: line["count"] for line in document["catch"]["counts"]}
        assert counts == mayflies_of(row)
        assert document["catch"]["counted_only"] == (["mayfly"] if river.declared else None)


@EITHER_WAY
def test_no_score_has_a_rating_word(river: River) -> None:
    found = list(river.scores())
    assert len({score["index"] for _, score in found}) > 10
    assert [(sample, score) for sample, score in found if score["band"] is not None or score["bands"]] == []
    assert {score["standing"] for _, score in found} <= {"provisional", "too_few", "empty", "missing"}


@DECLARED
def test_a_class_that_says_so_is_told_why_it_gets_no_score(river: River) -> None:
    told = {(score["value"], score["standing"], score["reasons"][0]) for _, score in river.scores()}
    assert told == {(None, "missing", MAYFLIES_ONLY)}


@UNDECLARED
def test_a_class_that_does_not_say_so_is_told_that_others_may_not_have_been_counted(river: River) -> None:
    rich = [score for _, score in river.scores() if score["index"] == "taxa-richness" and score["value"]]
    assert len(rich) > 12
    for score in rich:
        assert any("only Ephemeroptera in the catch" in reason for reason in score["reasons"]), score
