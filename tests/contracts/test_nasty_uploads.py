"""However a form with a file is spoiled: it is refused in clear words or taken whole, and nothing stays."""

import json
import tempfile
import uuid
from itertools import islice
from pathlib import Path
from urllib.parse import urlencode

import pytest
import sqlalchemy as sa

from service.intake.upload import LONGEST_NAME
from tests.api import Api
from tests.contracts.nasty_fields import nasty_values
from tests.contracts.nasty_trial import PROBLEM
from tests.contracts.nasty_uploads import spoiled_uploads
from tests.intake.form.pages import FORM, Fields, filled

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
TYPED = (
    "notes",
    "team",
    "notes",
    "r-ph-value",
    "a-0-taxon",
    "a-0-count",
    "visit_id",
    "date",
    "time",
    "kind",
    "tag",
)
EVERY = 12


def changes(api: Api) -> int:
    """Return how often anything was stored."""
    with api.engine.connect() as connection:
        return int(connection.execute(sa.text("SELECT count(*) FROM change")).scalar_one())


def shown_of(name: str) -> str:
    """Return what may be shown again of a name: one line of what can be seen."""
    return "".join(one for one in name if one.isprintable())[:LONGEST_NAME]


def is_name(told: str, sent: str) -> bool:
    """Tell whether a name is the one that was sent, as far as a form can say it: no quotation mark."""
    return told == shown_of(told) and (told in shown_of(sent) or not sent.isprintable() or '"' in sent)


@pytest.mark.parametrize(
    ("address", "who", "every"),
    [
        ("/v1/imports?", "heron", 1),
        ("/v1/imports/propose?", "heron", 3),
        ("/v1/imports/sites?school=heron", "coordinator", 5),
    ],
)
def test_a_spoiled_form_is_refused_in_words_or_taken_whole(
    api: Api, address: str, who: str, every: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    faults, taken = [], 0
    for one in islice(spoiled_uploads(), 0, None, every):
        before = changes(api)
        headers = {"Content-Type": one.kind.encode()}
        answer = api.call("POST", address, who, content=one.body, headers=headers)
        told = f"{one.spoiled} {one.kind[:40]} {one.name[:40]!r}: {answer.status_code} {answer.text[:200]}"
        if list(tmp_path.iterdir()):
            faults.append(f"left lying: {told}")
        if answer.status_code == 200:
            taken += 1
            if one.name and "totals" in answer.json() and not is_name(answer.json()["file"], one.name):
                faults.append(f"another name: {told}")
        elif answer.headers["content-type"] != PROBLEM or not 400 <= answer.status_code < 500:
            faults.append(told)
        elif changes(api) != before:
            faults.append(f"something stored: {told}")
    assert faults == []
    assert (taken > 0) == (who == "heron")  # a list of sites needs another mapping


def test_whatever_is_typed_into_the_form_comes_back_and_is_stored_whole_or_not_at_all(api: Api) -> None:
    faults, stored, usual = [], 0, filled(api)
    for number, value in enumerate(nasty_values()[::EVERY]):
        name, before = TYPED[number % len(TYPED)], changes(api)
        own = {"visit_id": str(uuid.UUID(int=number + 1)), "time": f"{9 + number // 60}:{number % 60:02}"}
        text = json.loads(value) if value.startswith('"') else value
        content = urlencode(usual | own | {name: text}, errors="surrogatepass")
        answer = api.call("POST", "/form", content=content, headers={"Content-Type": FORM})
        told = f"{name} = {value[:40]!r}: {answer.status_code}"
        if answer.status_code == 201:
            stored += 1
            private = api.get(f"/v1/visits/{own['visit_id']}", "heron").json()["private"]
            if name in private and private[name] != text.strip():
                faults.append(f"stored otherwise: {told}")
        elif not 400 <= answer.status_code < 500 or changes(api) != before:
            faults.append(told)
        if "script" in Fields(answer.text).tags:
            faults.append(f"a script: {told}")
    assert faults == []
    assert stored > 0
