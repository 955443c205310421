"""Paper to draw on: text that wraps, lines to write on, boxes to tick. All lengths in millimetres."""

from collections.abc import Sequence
from importlib.resources import as_file, files
from typing import Literal

from fpdf import FPDF
from fpdf.fonts import TTFFont

Paper = Literal["a4", "letter"]
MARGIN = 12.0
INK, SOFT, LINE, TINT = (27, 42, 47), (82, 100, 106), (138, 154, 158), (238, 243, 241)
LEADING = 0.43  # height of a line [mm] for each point of the size of its letters
BOX = 3.0
NAMES = "names"  # the font of names whose letters the usual one lacks
_FONT = files("fontpkg_noto_sans") / "files" / "NotoSans[wdth,wght].ttf"
# Letters of these blocks stand one beside the other; those of other scripts join and change their form.
_PLAIN_SCRIPTS = ((0x20, 0x58F), (0x1C80, 0x1CBF), (0x1D00, 0x2DFF), (0xA640, 0xA69F), (0xA700, 0xA7FF))


def _stands_alone(letter: str) -> bool:
    return any(low <= ord(letter) <= high for low, high in _PLAIN_SCRIPTS)


def _is_plain(text: str) -> bool:
    return text.isascii() or all(ord(letter) < 0x100 for letter in text)


class Drawn(FPDF):
    """A sheet that is being drawn, from the top down."""

    def __init__(self, paper: Paper, foot: str) -> None:
        super().__init__(format=paper, unit="mm")
        self.foot = foot
        self.set_margin(MARGIN)
        self.c_margin = 0
        self.set_auto_page_break(False)
        self.set_draw_color(*LINE)
        self.set_line_width(0.2)
        self.add_page()

    @property
    def bottom(self) -> float:
        """Where the drawing ends; the foot stands below."""
        return float(self.h) - MARGIN - 4

    def footer(self) -> None:
        """Write the foot of a page; the library calls it."""
        self.letters(7, colour=SOFT, text=self.foot)
        self.text(MARGIN, self.h - MARGIN + 2, self.drawable(f"{self.foot} · {self.page_no()}"))

    def drawable(self, text: str) -> str:
        """Return a text with a question mark for each letter that the fonts cannot draw."""
        if _is_plain(text):
            return text
        known = self._font_of_names().cmap
        return "".join(letter if _stands_alone(letter) and ord(letter) in known else "?" for letter in text)

    def _font_of_names(self) -> TTFFont:
        if NAMES not in self.fonts:
            with as_file(_FONT) as path:
                self.add_font(NAMES, "", path)
        font = self.fonts[NAMES]
        assert isinstance(font, TTFFont)
        return font

    def letters(self, size: float, style: str = "", colour: Sequence[int] = INK, text: str = "") -> None:
        """Choose size [points], style and colour of what is written next; names in other letters have their
        own font, which has no bold."""
        if _is_plain(text):
            self.set_font("Helvetica", style, size)
        else:
            self._font_of_names()
            self.set_font(NAMES, "", size)
        self.set_text_color(*colour)

    def room(self, height: float) -> bool:
        """Begin a new page unless there is room; tell whether it is a new one."""
        if self.get_y() + height <= self.bottom:
            return False
        self.add_page()
        return True

    def line_of(
        self, text: str, size: float, x: float, y: float, style: str = "", colour: Sequence[int] = INK
    ) -> float:
        """Write one line with its top at ``y``; return where it ends."""
        self.letters(size, style, colour, text)
        shown = self.drawable(text)
        self.text(x, y + size * 0.36, shown)
        return x + float(self.get_string_width(shown))

    def height_of(
        self, text: str, size: float, width: float, style: str = "", *, marked: bool = False
    ) -> float:
        """Return the height of a text that is wrapped."""
        self.letters(size, style, text=text)
        high = self.multi_cell(
            width,
            size * LEADING,
            self.drawable(text),
            align="L",
            dry_run=True,
            output="HEIGHT",
            markdown=marked,
        )
        assert isinstance(high, float)
        return high

    def block(
        self,
        text: str,
        size: float,
        x: float,
        y: float,
        width: float,
        style: str = "",
        colour: Sequence[int] = INK,
        marked: bool = False,
    ) -> float:
        """Write a text that is wrapped; return where it ends below. ``marked``: **this** is bold."""
        self.letters(size, style, colour, text)
        self.set_xy(x, y)
        self.multi_cell(
            width,
            size * LEADING,
            self.drawable(text),
            align="L",
            new_x="LMARGIN",
            new_y="NEXT",
            markdown=marked,
        )
        return float(self.get_y())

    def tick(self, text: str, size: float, x: float, y: float) -> float:
        """Draw a box to tick with what it says; return where it ends."""
        self.set_draw_color(*INK)
        self.rect(x, y, BOX, BOX)
        self.set_draw_color(*LINE)
        return self.line_of(text, size, x + BOX + 1, y, colour=INK)

    def blank(self, x: float, y: float, width: float) -> float:
        """Draw a line to write on; return where it ends."""
        self.set_draw_color(*INK)
        self.line(x, y + 4, x + width, y + 4)
        self.set_draw_color(*LINE)
        return x + width
