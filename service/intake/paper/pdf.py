"""The field sheet as PDF: the same content as the HTML sheet, drawn by hand."""

from itertools import pairwise

from service.intake.field_order import Kind
from service.intake.paper.content import BEFORE_LEAVING, NET_ROWS, Choice, ReadingLine, SheetContent
from service.intake.paper.pdf_paper import BOX, LINE, MARGIN, SOFT, TINT, Drawn, Paper
from service.science.qa.wording import number_words

ROW_MM, LEAST_MM, SMALL, USUAL = 7.0, 15.0, 7.4, 8.8
COLUMNS = (0.22, 0.31, 0.09, 0.11, 0.11, 0.16)  # shares of the width: what, how, outside, twice, taken
HEADS = ("reading and kit", "how", "outside", "first", "again", "how it was taken")
AT_ROWS = {"taxon", "count", "letter", "life_stage"}  # asked in the rows of the animals


def sheet_pdf(sheet: SheetContent, paper: Paper) -> bytes:
    """Return a field sheet for a paper."""
    pdf = Drawn(paper, f"Field sheet {sheet.site.code}")
    names = " ".join((sheet.network, sheet.site.name, *(line.kit_name for line in sheet.readings)))
    if pdf.drawable(names) != names:
        pdf.foot += " · letters shown as ? are whole on the web page of this sheet"
    pdf.set_title(f"Field sheet: {sheet.site.name} ({sheet.site.code})")
    pdf.set_lang("en")
    _head(pdf, sheet)
    _section(pdf, "Before anybody goes to the water", "")
    _cautions(pdf, sheet)
    _section(pdf, "Who, when, weather", "Teams have codes. No names of children.")
    _questions(pdf, sheet.before, sheet.site.code)
    _section(
        pdf,
        "Readings",
        "Write what the kit shows. Nothing seen is not 0: tick < and write no number. Beyond it: tick >.",
    )
    _readings(pdf, sheet.readings)
    pdf.room(46 + NET_ROWS * ROW_MM)
    _section(pdf, "The net", "Photograph what you do not know. All animals go back alive.")
    _questions(pdf, [one for one in sheet.at_the_net if one.field.field not in AT_ROWS], "")
    _net(pdf)
    pdf.room(52)
    _section(pdf, "Notes", "For your school and the coordinator only. No names, numbers or addresses.")
    _end(pdf)
    return bytes(pdf.output())


def _head(pdf: Drawn, sheet: SheetContent) -> None:
    site = sheet.site
    pdf.line_of(f"{sheet.network} · field sheet", USUAL, MARGIN, MARGIN, colour=SOFT)
    y = pdf.block(site.name, 16, MARGIN, MARGIN + 4, pdf.epw, "B")
    where = f"Site {site.code}"
    if site.stream:
        where += f" · stream {site.stream}"
        where += "" if site.stream_km is None else f", km {number_words(site.stream_km)}"
    pdf.line_of(f"{where} · clock of {site.time_zone}", USUAL, MARGIN, y + 0.5, colour=SOFT)
    pdf.set_y(y + 4.5)


def _section(pdf: Drawn, title: str, hint: str) -> None:
    pdf.room(20)
    y = pdf.get_y() + 2.6
    x = pdf.line_of(title, 11, MARGIN, y, "B")
    pdf.line_of(hint, 7.6, x + 3, y + 1, colour=SOFT)
    pdf.set_line_width(0.5)
    pdf.line(MARGIN, y + 5, MARGIN + pdf.epw, y + 5)
    pdf.set_line_width(0.2)
    pdf.set_y(y + 6.6)


def _cautions(pdf: Drawn, sheet: SheetContent) -> None:
    width, top = (pdf.epw - 9) / 2, pdf.get_y()
    told = [f"**{topic}.** {text}" for topic, text in sheet.cautions]
    heights = [pdf.height_of(one, SMALL, width, marked=True) + 0.8 for one in told]
    left = min(range(len(told) + 1), key=lambda n: max(sum(heights[:n]), sum(heights[n:])))
    high = max(sum(heights[:left]), sum(heights[left:])) + 3
    pdf.set_fill_color(*TINT)
    pdf.rect(MARGIN, top, pdf.epw, high, style="F")
    for part, x in ((told[:left], MARGIN + 3), (told[left:], MARGIN + width + 6)):
        y = top + 1.6
        for one in part:
            y = pdf.block(one, SMALL, x, y, width, marked=True) + 0.8
    pdf.set_y(top + high)


def _questions(pdf: Drawn, questions: list[Choice] | tuple[Choice, ...], site: str) -> None:
    x, y = MARGIN, pdf.get_y()
    for one in questions:
        head = one.label
        wide = pdf.get_string_width(head) * 1.1 + 2 + _width_of(pdf, one)
        if x > MARGIN and x + wide > MARGIN + pdf.epw:
            x, y = MARGIN, y + 6
        x = pdf.line_of(head, USUAL, x, y, "B") + 2
        for word in one.words:
            x = pdf.tick(word, USUAL, x, y) + 2.5
        if one.field.kind is Kind.PLACE:
            x = pdf.line_of(site, USUAL, x, y)
        elif not one.words:
            x = pdf.blank(x, y, _blank_mm(one))
        x += 4
    pdf.set_y(y + 5.5)


def _blank_mm(one: Choice) -> float:
    return 16 if one.field.kind is Kind.NUMBER else 26


def _width_of(pdf: Drawn, one: Choice) -> float:
    if not one.words:
        return _blank_mm(one)
    return float(sum(pdf.get_string_width(word) + BOX + 3.5 for word in one.words))


def _readings(pdf: Drawn, lines: tuple[ReadingLine, ...]) -> None:
    widths = [share * pdf.epw for share in COLUMNS]
    edges = [MARGIN + sum(widths[:n]) for n in range(len(widths) + 1)]
    _table_head(pdf, edges)
    for line in lines:
        what = line.kit_name + "\n" + line.scale
        high = max(
            pdf.height_of(line.name, 9, widths[0] - 2, "B") + pdf.height_of(what, SMALL, widths[0] - 2) + 2.4,
            pdf.height_of(line.how, SMALL, widths[1] - 2) + 2.4,
            4.2 * len(line.done) + (5.2 if line.box else 0) + 2.4,
            LEAST_MM,
        )
        if pdf.room(high):
            _table_head(pdf, edges)
        _reading(pdf, line, edges, high)


def _table_head(pdf: Drawn, edges: list[float]) -> None:
    y = pdf.get_y()
    for x, head in zip(edges, HEADS, strict=False):
        pdf.line_of(head, SMALL, x + 1, y, colour=SOFT)
    pdf.set_y(y + 3.8)


def _reading(pdf: Drawn, line: ReadingLine, edges: list[float], high: float) -> None:
    y = pdf.get_y()
    pdf.set_draw_color(*LINE)
    for left, right in pairwise(edges):
        pdf.rect(left, y, right - left, high)
    below = pdf.block(line.name, 9, edges[0] + 1, y + 1, edges[1] - edges[0] - 2, "B")
    below = pdf.block(line.kit_name, SMALL, edges[0] + 1, below, edges[1] - edges[0] - 2, colour=SOFT)
    pdf.block(line.scale, SMALL, edges[0] + 1, below, edges[1] - edges[0] - 2)
    pdf.block(line.how, SMALL, edges[1] + 1, y + 1.2, edges[2] - edges[1] - 2)
    for number, mark in enumerate(filter(None, (line.below, line.above))):
        pdf.tick(mark, USUAL, edges[2] + 1.2, y + 1.6 + 4.6 * number)
    for right in edges[4:6]:
        pdf.letters(6.4, text=line.unit)
        wide = pdf.get_string_width(line.unit)
        pdf.line_of(line.unit, 6.4, right - wide - 1, y + high - 3.2, colour=SOFT)
    for number, told in enumerate(line.done):
        pdf.tick(told, SMALL, edges[5] + 1, y + 1.6 + 4.2 * number)
    if line.box:
        at = y + 2.4 + 4.2 * len(line.done)
        pdf.line_of(line.box, SMALL, edges[5] + 1, at, colour=SOFT)
        pdf.line(edges[5] + 1, at + 4, edges[6] - 1, at + 4)
    pdf.set_y(y + high)


def _net(pdf: Drawn) -> None:
    y = pdf.tick("looked for, and no animal found", USUAL, MARGIN, pdf.get_y()) and pdf.get_y() + 5.2
    half = (pdf.epw - 4) / 2
    for left in (MARGIN, MARGIN + half + 4):
        edges = (left, left + half - 38, left + half - 20, left + half)
        for x, head in zip(edges, ("animal", "count", "stage"), strict=False):
            pdf.line_of(head, SMALL, x + 1, y, colour=SOFT)
        for row in range(NET_ROWS):
            for start, end in pairwise(edges):
                pdf.rect(start, y + 3.8 + row * ROW_MM, end - start, ROW_MM)
    told = "A number, or for all of them a letter: R 1 to 9, C 10 to 99, D 100 or more. "
    told += "Stage: larva, nymph, pupa, adult."
    y += 4.8 + NET_ROWS * ROW_MM
    pdf.line_of(told, SMALL, MARGIN, y, colour=SOFT)
    pdf.set_y(y + 3)


def _end(pdf: Drawn) -> None:
    y = pdf.get_y()
    pdf.rect(MARGIN, y, pdf.epw, 28)
    y += 30.5
    x = pdf.line_of("Before you leave", USUAL, MARGIN, y, "B") + 3
    for one in BEFORE_LEAVING:
        pdf.letters(SMALL)
        if x + BOX + 1 + pdf.get_string_width(one) > MARGIN + pdf.epw:
            x, y = MARGIN, y + 5
        x = pdf.tick(one, SMALL, x, y) + 3
