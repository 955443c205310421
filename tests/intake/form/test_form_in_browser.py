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


UNFOLD = "document.querySelectorAll('details').forEach((part) => (part.open = true))"
# The smallest target for a finger, in CSS pixels: W3C WCAG 2.2, success criterion 2.5.5 (level AAA).
SMALL = """
[...document.querySelectorAll('input:not([type=hidden]), select, textarea, button, summary, a')]
  .map((one) => [one, ...(one.type === 'checkbox' ? one.labels : [])])
  .filter((all) => all.every((one) => one.getBoundingClientRect().height < 43.9))
  .map(([one]) => one.name || one.textContent)
"""


def test_the_form_fits_the_narrowest_telephone_and_every_finger(form: Page) -> None:
    form.run(UNFOLD)
    assert form.run(SMALL) == []
    form.size(320, 640)
    assert form.width() == 320
    form.size(*PHONE)


def test_a_gauging_is_unfolded_filled_in_and_asked_back_without_any_script(api: Api, form: Page) -> None:
    form.click("#flowing summary", loads=False)
    form.keys("#time", "1015A")
    form.type("#g-length_m", "10")
    form.type("#key", api.keys["heron"])
    form.click(CHECK)
    assert "What is the bed made of?" in form.words("#flowing")
    assert form.value("#g-length_m") == "10"
    assert form.run("document.querySelector('#flowing').open")
    assert form.width() == PHONE[0]
