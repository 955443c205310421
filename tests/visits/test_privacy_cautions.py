"""Free text that leads to a person is pointed out to the school and the coordinator, and to nobody else."""

from tests.api import Api, catch, visit

NUMBER = "212-555-0123"


def test_the_school_is_told_before_and_after_it_stores_the_visit(api: Api) -> None:
    body = visit(notes=f"call Pat, {NUMBER}", catch=catch(("pat@school.example", 3)))
    tried = api.post("/v1/visits?dry_run=true", body, "heron").json()
    stored = api.submit(body)
    address = f"/v1/visits/{stored['visit_id']}"
    for answer in (tried, stored, api.get(address, "heron").json(), api.get(address, "coordinator").json()):
        notes, names = answer["private"]["cautions"]
        assert notes.startswith("The notes seem to hold a telephone number.")
        assert names.startswith("The names of the animals seem to hold an e-mail address.")
        assert NUMBER not in notes
    assert stored["flag"] == api.submit(visit(team="b", catch=catch(("pat@school.example", 3))))["flag"]


def test_others_are_not_told(api: Api) -> None:
    stored = api.submit(visit(notes=NUMBER))
    for caller in (None, "reader", "otter"):
        answer = api.get(f"/v1/visits/{stored['visit_id']}", caller)
        assert answer.json()["private"] is None
        assert "telephone" not in answer.text


def test_a_usual_visit_has_no_caution(api: Api) -> None:
    assert api.submit(visit(notes="muddy bank", catch=catch(("mayfly", 3))))["private"]["cautions"] == []
