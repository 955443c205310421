"""What the rows of roles.csv need besides method and path: an address for each path, and bodies.

A new row whose path has a ``{part}``, or whose case asks for something else, needs an entry in `PLAIN` or
`addresses`; one that sends something needs an entry in `SENT`. An entry is looked up by method, path and
case; where there is none, by path and case, by method and path, and by path alone.
"""

import uuid
from collections.abc import Callable, Mapping
from typing import Any

from tests.api import Api, reading, visit
from tests.intake.imports.files import MAPPING
from tests.network.reference_network import define, index_body, submit_reference

CARD = {
    "code": "card", "name": "Card", "kind": "strip", "parameter": "ph", "unit": "std units",
    "lower": 4, "upper": 9, "step": 1, "reads_zero": False,
}  # fmt: skip
CRITERION = {
    "code": "our-ph", "name": "Our pH", "parameter": "ph", "unit": "std units", "at_least": 6.0,
    "applies_from": "2026-01-01", "source": "a rule",
}  # fmt: skip
MAPPING_PATH = "/v1/schools/{school}/mappings/{code}"
# A file of which each row is refused: whoever may send it gets a report.
NOTHING_GOOD = {"content": b"no visit", "headers": {"Content-Type": "application/x-ndjson"}}
DECISION = {"action": "reject", "reason": "typed in twice"}
VISIT, REVISIONS, DECISIONS = (f"/v1/visits/{{visit_id}}{end}" for end in ("", "/revisions", "/decisions"))
NOWHERE = uuid.UUID(int=7)


def changed(who: str) -> dict[str, Any]:
    return {"json": visit(team=f"changed-by-{who}")}


# (method, path) or (method, path, case) -> what is sent by each caller, as the client takes it.
SENT: dict[tuple[str, ...], Callable[[str], dict[str, Any]]] = {
    ("POST", "/v1/visits"): lambda who: {"json": visit()},
    ("POST", "/v1/visits", "at another's site"): lambda who: {"json": visit("fern-01")},
    # The form takes a key in its body alone; tests/intake/form/test_form_guards.py sends it there.
    ("POST", "/form"): lambda who: {"data": {"site": "reed-02"}},
    ("PUT", VISIT): lambda who: changed(who) | {"headers": {"If-Match": "*"}},
    ("PUT", VISIT, "without If-Match"): changed,
    ("POST", DECISIONS): lambda who: {"json": DECISION},
    ("POST", "/v1/kit-lots"): lambda who: {
        "json": {"school": "heron", "code": f"box-{who}", "kit": "ph-meter"}
    },
    ("POST", "/v1/kit-lots", "for another school"): lambda who: {
        "json": {"school": "otter", "code": f"box-{who}", "kit": "ph-meter"}
    },
    ("POST", "/v1/schools"): lambda who: {
        "json": {"code": "ibis", "name": "Ibis School", "time_zone": "UTC"}
    },
    ("PATCH", "/v1/schools/{code}"): lambda who: {"json": {"name": "Heron Lane School"}},
    ("POST", "/v1/imports"): lambda who: NOTHING_GOOD,
    ("POST", "/v1/imports", "dry run"): lambda who: NOTHING_GOOD,
    ("POST", "/v1/imports/propose"): lambda who: {"content": b"site,date,pH\nreed-02,2026-03-12,7\n"},
    ("PUT", MAPPING_PATH): lambda who: {"json": MAPPING},
    ("DELETE", "/v1/schools/{code}/private"): lambda who: {"json": {"confirm": "heron"}},
    ("POST", "/v1/sites"): lambda who: {"json": {"code": "ash-01", "name": "Ash", "school": "heron"}},
    ("PATCH", "/v1/sites/{code}"): lambda who: {"json": {"stream_km": 4.6}},
    ("POST", "/v1/watersheds"): lambda who: {"json": {"scheme": "huc", "code": "0207", "name": "Reed River"}},
    ("POST", "/v1/kits"): lambda who: {"json": CARD},
    ("POST", "/v1/criteria"): lambda who: {"json": CRITERION | {"code": "our-chloride"}},
    ("PATCH", "/v1/criteria/{code}"): lambda who: {"json": {"name": "Acid and lye"}},
    ("POST", "/v1/indices"): lambda who: {"json": index_body()},
    ("POST", "/v1/keys"): lambda who: {"json": {"role": "reader", "label": "notice board"}},
}


def addresses(api: Api) -> dict[tuple[str, ...], str]:
    """Enter what the rows ask for, all of it heron's, and return the address of each path."""
    ids = _visits(api)
    assert api.post("/v1/criteria", CRITERION).status_code == 201
    for code in ("class-sheet", "old-sheet"):
        address = f"/v1/schools/heron/mappings/{code}"
        assert api.call("PUT", address, "coordinator", json=MAPPING).status_code == 201
    submit_reference(api)
    define(api)
    key = api.post("/v1/keys", {"role": "reader", "label": "to be revoked"}).json()
    found: dict[tuple[str, ...], str] = {
        (path, case): path.replace("{visit_id}", str(visit_id))
        for case, visit_id in ids.items()
        for path in (VISIT, REVISIONS, DECISIONS)
    }
    usual = {
        (VISIT,): (VISIT, "released"),
        (REVISIONS,): (REVISIONS, "released"),
        (DECISIONS,): (DECISIONS, "decided"),
        ("DELETE", VISIT): (VISIT, "taken back"),
        ("DELETE", VISIT, "held"): (VISIT, "taken back while held"),
        ("PUT", VISIT, "held"): (VISIT, "corrected while held"),
    }
    found |= {asked: found[stands_for] for asked, stands_for in usual.items()}
    alert = "/v1/alerts/{visit_id}/{alert}/acknowledge"
    found[alert,] = alert.format(visit_id=ids["dead fish"], alert="fish-kill")
    for kind in ("visits", "sites", "readings", "scores"):
        for stem in ("/v1", "/v1/exports"):
            found[f"{stem}/{kind}.{{ending}}",] = f"{stem}/{kind}.csv"
    for kind in ("readings", "scores"):
        found[f"/ogc/collections/{kind}/items/{{feature}}",] = _first_feature(api, kind)
    found["DELETE", MAPPING_PATH] = "/v1/schools/heron/mappings/old-sheet"
    found["/v1/keys/{key_id}",] = f"/v1/keys/{key['id']}"
    found["/v1/keys/{key_id}", "missing"] = f"/v1/keys/{NOWHERE}"
    return found | {tuple(path.split("#")): address for path, address in PLAIN.items()}


PLAIN = {
    "/static-offline-docs": "/static-offline-docs/swagger-ui.css",
    "/v1/visits#dry run": "/v1/visits?dry_run=true",
    "/v1/indices#dry run": "/v1/indices?dry_run=true",
    "/v1/catalogue/{part}": "/v1/catalogue/kits",
    "/v1/sites/latest.{ending}": "/v1/sites/latest.csv",
    "/v1/coverage.{ending}": "/v1/coverage.csv",
    "/v1/exports/visit-sheet.{ending}": "/v1/exports/visit-sheet.csv",
    "/v1/schools/{code}": "/v1/schools/heron",
    "/v1/schools/{code}/export": "/v1/schools/heron/export",
    "/v1/schools/{code}/export#missing": "/v1/schools/nowhere/export",
    "/v1/schools/{code}/private": "/v1/schools/heron/private",
    "/v1/imports": "/v1/imports?school=heron",
    "/v1/imports/propose": "/v1/imports/propose?school=heron",
    "/v1/imports#dry run": "/v1/imports?school=heron&dry_run=true",
    "/v1/schools/{school}/mappings": "/v1/schools/heron/mappings",
    MAPPING_PATH: "/v1/schools/heron/mappings/class-sheet",
    f"{MAPPING_PATH}#missing": "/v1/schools/heron/mappings/no-such",
    "/v1/sites/{code}": "/v1/sites/reed-02",
    "/v1/schema/{name}.json": "/v1/schema/readings.json",
    "/ogc/collections/{code}": "/ogc/collections/sites",
    "/ogc/collections/{code}/schema": "/ogc/collections/sites/schema",
    "/ogc/collections/{code}/feature-schema": "/ogc/collections/sites/feature-schema",
    "/ogc/collections/sites/items/{feature}": "/ogc/collections/sites/items/reed-02",
    "/v1/criteria/{code}": "/v1/criteria/our-ph",
    "/v1/indices/{code}": "/v1/indices/reed-spring",
    "/v1/watersheds/{code}/summary": "/v1/watersheds/0207/summary",
    "/v1/watersheds/{code}/ranking": "/v1/watersheds/0207/ranking",
    "/v1/sites/{site}/ccme": "/v1/sites/reed-02/ccme",
    "/v1/sites/{site}/bacteria": "/v1/sites/reed-02/bacteria",
    "/v1/streams/{stream}/profile": "/v1/streams/reed/profile",
    "/v1/sites/{site}/sheet.html": "/v1/sites/reed-02/sheet.html",
    "/v1/sites/{site}/sheet.pdf": "/v1/sites/reed-02/sheet.pdf",
    "/v1/sites/{site}/trend": "/v1/sites/reed-02/trend?parameter=ph",
}


def _visits(api: Api) -> dict[str, Any]:
    """Hand in a visit for each case, and return their ids."""
    bodies = {
        "released": visit(team="released"),
        "taken back": visit(team="taken-back"),
        "withdrawn": visit(team="withdrawn"),
        "dead fish": visit(team="fish", conditions={"dead_fish": True}),
    }
    bodies |= {
        case: visit(team=case.replace(" ", "-"), readings=[reading("ph", 15)])
        for case in ("held", "decided", "rejected", "taken back while held", "corrected while held")
    }
    ids = {case: api.submit(body)["visit_id"] for case, body in bodies.items()}
    assert api.call("DELETE", f"/v1/visits/{ids['withdrawn']}", "heron").status_code == 200
    assert api.post(f"/v1/visits/{ids['rejected']}/decisions", DECISION).status_code == 200
    return ids | {"missing": NOWHERE}


def _first_feature(api: Api, collection: str) -> str:
    address = f"/ogc/collections/{collection}/items"
    return f"{address}/{api.get(address, 'coordinator').json()['features'][0]['id']}"


def entry(table: Mapping[tuple[str, ...], Any], method: str, path: str, case: str) -> Any:
    """Return what a table has for a row of roles.csv, or ``None``."""
    tried = ((method, path, case), (path, case), (method, path), (path,))
    return next((table[key] for key in tried if key in table), None)
