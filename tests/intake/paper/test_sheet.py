"""The field sheet: its fields in the order of the work, with the limits of its kits, as HTML and as PDF."""

import io
import re
from html import unescape

import pytest
from pypdf import PdfReader

from service.intake.field_order import cautions
from service.reference.load import load_catalogue
from tests.api import Api

pytestmark = pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")
SHEET = "/v1/sites/reed-02/sheet"
# The order of the work at the creek: common practice; what changes in the bottle is read first.
IN_ORDER = (
    "Before anybody goes to the water", "Wading.", "Team", "Weather", "Air temperature (°C)", "Readings",
    "Water temperature", "Dissolved oxygen", "pH", "Transparency in the tube", "Nitrate", "Orthophosphate",
    "The net", "Gear", "animal", "Notes", "Before you leave",
)  # fmt: skip


def words(page: str) -> str:
    body = page.split("<body>")[1].replace("</dt>", ".")
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).replace(" .", ".").split())


def pdf_words(content: bytes) -> str:
    return " ".join(" ".join(page.extract_text() for page in PdfReader(io.BytesIO(content)).pages).split())


def assert_in_order(told: str) -> None:
    place = 0
    for word in IN_ORDER:
        found = told.find(word, place)
        assert found >= 0, f"{word} is not there, or too early"
        place = found + len(word)


def test_html_and_pdf_say_the_same_in_the_order_of_the_work(api: Api) -> None:
    page, pdf = words(api.get(f"{SHEET}.html").text), pdf_words(api.get(f"{SHEET}.pdf").content)
    for told in (page, pdf):
        assert_in_order(told)
        for topic, text in cautions():
            assert f"{topic}. {text}" in told
        for word in (
            "Reed-02",
            "America/New_York",
            "partly-cloudy",
            "5 · 20 · 40 mg/L as NO3",
            "< 5",
            "> 40",
        ):
            assert word in told
        for tick in (
            "60 s in water",
            "waited 5 min",
            "no bubble",
            "2 tablets",
            "10 mL of water",
            "box of the kit",
            "Dead or gasping fish yes no",
            "looked for, and no animal found",
        ):
            assert tick in told
        assert "No names of children" in told


def test_kits_are_those_that_were_asked_for(api: Api) -> None:
    query = "?kits=nitrate-strip,thermometer-fahrenheit,oxygen-meter"
    for told in (
        words(api.get(f"{SHEET}.html{query}").text),
        pdf_words(api.get(f"{SHEET}.pdf{query}").content),
    ):
        assert "1 · 2 · 5 · 10 · 20 · 50 mg/L as NO3" in told
        assert "read at 1 min" in told
        assert "0 to 120 °F, steps of 1" in told
        assert "> 20" in told
        assert "Orthophosphate" not in told
        assert told.index("120 °F") < told.index("oxygen meter") < told.index("nitrate test strip")


def test_a_kit_of_the_networks_own_is_printed_like_one_of_the_catalogue(api: Api) -> None:
    card = {
        "code": "card", "name": "Card of the valley", "kind": "strip", "parameter": "ph", "unit": "std units",
        "lower": 4, "upper": 9, "step": 1, "reads_zero": False,
    }  # fmt: skip
    assert api.post("/v1/kits", card).status_code == 201
    assert "Card of the valley 4 to 9, steps of 1" in words(api.get(f"{SHEET}.html?kits=card").text)
    assert "Card of the valley" in pdf_words(api.get(f"{SHEET}.pdf?kits=card").content)
    assert api.get(f"{SHEET}.html?kits=no-such-kit").status_code == 404


@pytest.mark.parametrize(
    ("name", "drawn"),
    [
        ("Łąka nad Źródłem", "Łąka nad Źródłem"),
        ("Ρέμα Москва", "Ρέμα Москва"),
        ("清流 creek", "?? creek"),
        ("नदी", "???"),
    ],
)
def test_names_in_other_letters_are_drawn_or_it_says_where_they_stand(
    api: Api, name: str, drawn: str
) -> None:
    assert api.call("PATCH", "/v1/sites/reed-02", "coordinator", json={"name": name}).status_code == 200
    told = pdf_words(api.get(f"{SHEET}.pdf").content)
    assert drawn in told
    assert ("letters shown as ? are whole on the web page" in told) == ("?" in drawn)
    assert name in words(api.get(f"{SHEET}.html").text)


@pytest.mark.parametrize(("paper", "width", "height"), [("a4", 595, 842), ("letter", 612, 792)])
def test_a_pdf_has_the_size_of_its_paper_and_two_pages(api: Api, paper: str, width: int, height: int) -> None:
    # ISO 216 (210 mm by 297 mm) and ANSI/ASME Y14.1 (8.5 in by 11 in), in points of 1/72 inch.
    answer = api.get(f"{SHEET}.pdf?paper={paper}")
    assert answer.headers["content-type"] == "application/pdf"
    pages = PdfReader(io.BytesIO(answer.content)).pages
    assert [tuple(map(round, page.mediabox[2:])) for page in pages] == [(width, height)] * 2


def test_every_kit_of_the_catalogue_fits_its_row(api: Api) -> None:
    every = ",".join(load_catalogue().kits)
    told = pdf_words(api.get(f"{SHEET}.pdf?kits={every}").content)
    for kit in load_catalogue().kits.values():
        assert " ".join(kit.instructions.split()) in told
