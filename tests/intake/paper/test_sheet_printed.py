"""The field sheet as a real browser prints it: front and back of one leaf, on A4 and on Letter."""

import pytest

from tests.api import Api
from tests.intake.chromium import PHONE, browser, needs_chromium, pages_of

pytestmark = [needs_chromium, pytest.mark.parametrize("backend", ["sqlite"], indirect=True, scope="session")]


def test_the_usual_sheet_is_one_leaf_on_either_paper(api: Api) -> None:
    page = api.get("/v1/sites/reed-02/sheet.html").text
    with browser() as printer:
        frame = printer.ask("Page.getFrameTree")["frameTree"]["frame"]["id"]
        printer.ask("Page.setDocumentContent", frameId=frame, html=page)
        assert "Reed-02" in printer.words("body")
        assert printer.width() == PHONE[0]  # looked at on a telephone, it needs no pushing sideways
        assert {paper: pages_of(printer.printed(paper)) for paper in ("a4", "letter")} == {
            "a4": 2,
            "letter": 2,
        }
