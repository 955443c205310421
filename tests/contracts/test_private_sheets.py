"""What a school sends as a sheet or types into the form is its own: nobody else and no log ever sees it.

The secrets of the planted network stand here in names of files, in cells, in heads and in mappings.
"""

import json
import logging
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

import pytest

from service.core.logs import JsonLines
from tests.api import Api, Json, visit
from tests.contracts.planted_network import HELD, PLANTED, RELEASED, SITE, plant, secrets_of
from tests.contracts.privacy_walk import text_of
from tests.intake.form.pages import FORM, TYPED
from tests.intake.imports.files import MAPPING, line, sheet

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
MARK = PLANTED.mark
KEPT = f"sheet-{MARK}"
SECRETS = secrets_of(PLANTED)
CSV = {"Content-Type": "text/csv"}


def enter_planted(api: Api) -> None:
    plant(api, PLANTED)


@pytest.fixture
def planted(api: Api) -> Api:
    return api.once(enter_planted)


def form_of(site: str, **more: str) -> Json:
    return {"content": urlencode(TYPED | {"site": site} | more), "headers": {"Content-Type": FORM}}


def asked_by_others(api: Api, who: str) -> Iterator[tuple[str, Json]]:
    """Give what others can send about heron's site, visits and mappings, with no secret of theirs in it."""
    rows = sheet(line(site=SITE), line(site="reed-01"))
    lines = [visit("reed-01", visit_id=str(HELD)), visit(SITE), visit("reed-01", visit_id=str(RELEASED))]
    with_mapping = [("file", ("a.csv", rows)), ("mapping", (None, json.dumps(MAPPING)))]
    for more in ("", "&revise=true", "&f=csv"):
        yield f"/v1/imports?dry_run=true{more}", {"files": with_mapping}
        body = "\n".join(map(json.dumps, lines))
        yield f"/v1/imports?dry_run=true{more}", {"content": body, "headers": {"Content-Type": "text/csv"}}
    for named in (f"mapping={KEPT}", f"school=heron&mapping={KEPT}", "school=heron"):
        yield f"/v1/imports?{named}", {"content": rows, "headers": CSV}
    for query in ("", "?school=heron"):
        yield f"/v1/imports/propose{query}", {"content": rows, "headers": CSV}
    key = {"key": api.keys[who]}
    for site in (SITE, "reed-01"):
        for visit_id in (HELD, RELEASED):
            for more in ({}, {"tag": '"x"'}, {"do": "boxes"}):
                yield "/form", form_of(site, visit_id=str(visit_id), **key, **more)


def test_others_learn_nothing_by_sheets_and_forms_of_their_own(planted: Api) -> None:
    told_to = {}
    for who in ("otter", "reader"):
        for address, more in asked_by_others(planted, who):
            answer = planted.call("POST", address, who if address != "/form" else None, **more)
            sent = str(HELD) in str(more)  # an id that was sent may be said again
            told = text_of(answer).replace(str(HELD), "-") if sent else text_of(answer)
            assert not SECRETS.search(told), (who, address, SECRETS.search(told))
            told_to[who, address] = answer.status_code
    assert {told_to["otter", "/v1/imports?dry_run=true"], told_to["otter", "/v1/imports/propose"]} == {200}
    assert told_to["otter", "/v1/imports?school=heron"] == 403


def sent_by_heron(api: Api) -> Iterator[tuple[str, Json]]:
    """Give sheets and forms full of secrets: some are taken, some refused, some cannot even be read."""
    head = (*line()[:0], "Site", "Date", "Time", "Team", "Water", "pH", f"Remarks {MARK}")
    good = sheet(line(site=SITE, Remarks=f"gate code {MARK}", Team=f"team-{MARK}"), head=head)
    odd = sheet(line(site=f"{MARK}", Water=f"{MARK}", Date=f"{MARK}"), line(site=SITE, pH=77.125), head=head)
    named = (f"{MARK}.csv", good, "text/csv")
    how = MAPPING | {"notes": [{"column": f"Remarks {MARK}", "word": MARK}]}
    for content in (good, odd):
        file = ("file", (f"{MARK}.csv", content, f"text/{MARK}"))
        for mapping in (json.dumps(how), f'{{"{MARK}": "{MARK}"}}', f"{MARK} = '{MARK}"):
            yield "/v1/imports", {"files": [file, ("mapping", (None, mapping))]}
        yield "/v1/imports/propose", {"files": [file]}
    yield f"/v1/imports?mapping={KEPT}&f=xlsx", {"files": [("file", named)]}
    yield "/v1/imports", {"files": [("file", (f"{MARK}.xlsx", f"PK\x03\x04{MARK}".encode()))]}
    yield "/v1/imports", {"files": [("file", named), (MARK, (None, MARK))]}
    yield "/v1/imports", {"content": json.dumps({MARK: MARK}), "headers": {"Content-Type": f"x/{MARK}"}}
    typed = {"notes": f"gate code {MARK}", "team": f"team-{MARK}", "r-ph-value": MARK, "a-0-taxon": MARK}
    for more in (typed, typed | {"r-ph-value": "7"}, {"site": MARK}):
        yield "/form", form_of(**{"site": SITE, "key": api.keys["heron"], "visit_id": MARK} | more)


def test_no_log_holds_what_was_sent_and_no_temporary_file_is_left(
    planted: Api, caplog: pytest.LogCaptureFixture, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    caplog.set_level(logging.DEBUG)
    answers: list[Any] = []
    for address, more in sent_by_heron(planted):
        answers.append(planted.call("POST", address, "heron" if address != "/form" else None, **more))
    assert {answer.status_code for answer in answers} >= {200, 422, 404}
    assert any(MARK in answer.text for answer in answers)  # it was there to be told
    lines = [JsonLines().format(record) for record in caplog.records]
    assert len(lines) >= len(answers)
    assert [one for one in lines if MARK in one or api_keys_in(one, planted)] == []
    assert list(tmp_path.iterdir()) == []
    assert MARK not in planted.get("/metrics", "coordinator").text


def api_keys_in(text: str, api: Api) -> bool:
    return any(key in text for key in api.keys.values())
