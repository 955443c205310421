"""A decision about a blank speaks for the box of reagents that the blank was made with."""

import pytest

from tests.api import Api, Json, reading, visit
from tests.review.held_visits import decide

KIT, BOX = "nitrate-zinc-comparator", "box-a"


def blank(day: int, value: float, censored: str | None = None) -> Json:
    more = {"censored": censored} if censored else {}
    row = reading("nitrate", value, "mg/L as N", kit=KIT, kit_lot=BOX, **more)
    return visit(observed_at=f"2026-03-{day:02}T10:00:00-04:00", kind="field-blank", readings=[row])


def failed_on(api: Api) -> str | None:
    (lot,) = api.every("/v1/kit-lots", "heron")
    return lot["blank_failed_on"]


@pytest.fixture
def coloured(api: Api) -> str:
    """A blank of the tenth that showed colour, after a clean one of the ninth."""
    assert api.post("/v1/kit-lots", {"school": "heron", "code": BOX, "kit": KIT}, "heron").status_code == 201
    api.submit(blank(9, 0.25, "<"))
    stored = api.submit(blank(10, 1))
    assert (stored["state"], failed_on(api)) == ("held", "2026-03-10")
    return stored["visit_id"]


def test_a_blank_that_is_rejected_no_longer_condemns_its_box_and_its_return_does(
    api: Api, coloured: str
) -> None:
    decide(api, coloured, "reject", "it was stream water")
    assert failed_on(api) is None
    decide(api, coloured, "release", "it was distilled water after all")
    assert failed_on(api) == "2026-03-10"


def test_a_flag_set_on_a_blank_decides_about_its_box(api: Api, coloured: str) -> None:
    decide(api, coloured, "set-flag", "the shade of a tree", reading=0, flag=1)
    assert failed_on(api) is None
    decide(api, coloured, "set-flag", "no, colour", reading=0, flag=3)
    assert failed_on(api) == "2026-03-10"


def test_a_newer_clean_blank_keeps_its_word(api: Api, coloured: str) -> None:
    api.submit(blank(11, 0.25, "<"))
    decide(api, coloured, "set-flag", "a strong colour", reading=0, flag=4)
    assert failed_on(api) is None


def test_nothing_is_derived_from_a_blank_whatever_is_decided(api: Api) -> None:
    body = visit(kind="field-blank")
    stored = api.submit(body)
    assert stored["derived"] == []
    assert decide(api, stored["visit_id"], "set-flag", reading=1, flag=4)["derived"] == []
