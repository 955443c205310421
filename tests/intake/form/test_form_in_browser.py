"""The form in a real browser of a telephone's size, without script: filled in, handed in, sent again."""

from collections.abc import Iterator

import pytest

from service.app import create_app
from tests.api import Api
from tests.intake.chromium import PHONE, Page, browser, needs_chromium
from tests.intake.form.pages import visits
from tests.served import served

pytestmark = [needs_chromium, pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")]
CHECK, HAND_IN = ".go [value=check]", ".go [value=hand_in]"


@pytest.fixture(scope="module")
def phone() -> Iterator[Page]:
    with browser() as page:
        yield page


@pytest.fixture
def form(api: Api, phone: Page) -> Iterator[Page]:
    """The form of a site, open in the browser."""
    with served(create_app(api.client.app.state.settings)) as port:
        phone.go(f"http://127.0.0.1:{port}/form?site=reed-02")
        yield phone


def fill(page: Page, key: str) -> None:
    page.keys("#date", "03122026")
    page.keys("#time", "1015A")
    page.type("#team", "period-2")
    page.keys("#weather", "o")
    page.type("#r-water_temperature-value", "44")
    page.type("#r-ph-value", "7,5")
    page.type("#a-0-taxon", "mayfly")
    page.type("#a-0-count", "14")
    page.type("#key", key)


def test_a_class_is_asked_checked_and_hands_in_without_any_script(api: Api, form: Page) -> None:
    key = api.keys["heron"]
    assert form.width() == PHONE[0]  # nothing has to be pushed sideways
    fill(form, key)
    form.click(CHECK)
    assert "Is 7,5 the same as 7.5?" in form.words()
    assert form.value("#r-ph-value") == "7,5"
    form.click("#comma", loads=False)
    form.type("#key", key)
    form.click(CHECK)
    assert "Cannot be right: Water temperature 44 °C is not possible" in form.words()
    assert form.width() == PHONE[0]
    assert visits(api) == []
    form.type("#r-water_temperature-value", "6.5")
    form.type("#key", key)
    form.click(HAND_IN)
    assert "Handed in The visit is stored." in form.words()
    assert form.value("#key") == ""
    (stored,) = visits(api)
    assert (stored["site"], stored["observed_on"]) == ("reed-02", "2026-03-12")


def test_going_back_keeps_what_was_typed_and_sending_twice_makes_one_visit(api: Api, form: Page) -> None:
    key, visit_id = api.keys["heron"], form.value("[name=visit_id]")
    fill(form, key)
    form.type("#r-ph-value", "7")
    form.type("#r-water_temperature-value", "6.5")
    form.click(HAND_IN)
    assert "Handed in" in form.words()
    form.back()
    assert form.value("[name=visit_id]") == visit_id
    typed = {
        name: form.value(f"#{name}") for name in ("time", "team", "r-water_temperature-value", "a-0-taxon")
    }
    assert list(typed.values()) == ["10:15", "period-2", "6.5", "mayfly"]
    form.type("#key", key)
    form.click(HAND_IN)
    assert "Handed in" in form.words()
    assert [one["visit_id"] for one in visits(api)] == [visit_id]


def test_the_form_fits_the_narrowest_telephone(form: Page) -> None:
    form.size(320, 640)
    assert form.width() == 320
    form.size(*PHONE)
