"""The texts that the cells of a workbook share, packed: a million of them take no more than their letters."""

import re
from array import array
from zipfile import ZipFile

from service.intake.sheets.workbook.parts import Element, finished_children, local

# Signs that XML cannot hold are written as _x000D_ (ECMA-376 part 1, 22.4.2.4).
_ESCAPED = re.compile(r"_x([0-9A-Fa-f]{4})_")


class SharedTexts:
    """Texts by their number, read when the first is asked for."""

    def __init__(self, archive: ZipFile, part: str) -> None:
        self._archive = archive
        self._part = part
        self._letters = bytearray()
        self._ends = array("Q")
        self._is_read = False

    def text(self, number: int) -> str:
        """Return a text.

        Raises
        ------
        IndexError
            There is none of this number.
        """
        if not self._is_read:
            self._read()
        if number < 0:
            raise IndexError(number)
        end = self._ends[number]
        return self._letters[self._ends[number - 1] if number else 0 : end].decode()

    def _read(self) -> None:
        self._is_read = True
        if not self._part:
            return
        for one in finished_children(self._archive, self._part, "sst"):
            self._letters += text_of(one).encode()
            self._ends.append(len(self._letters))


def text_of(element: Element) -> str:
    """Return the text of an element, of all its runs; how it is to be pronounced is left out."""
    if len(element) == 1 and not len(element[0]):
        return unescaped(element[0].text or "")
    written = []
    for child in element:
        name = local(child.tag)
        if name == "t":
            written.append(child.text or "")
        elif name == "r":
            written += [one.text or "" for one in child if local(one.tag) == "t"]
    return unescaped("".join(written))


def unescaped(text: str) -> str:
    """Return a text with the signs that were written by their number."""
    return _ESCAPED.sub(_sign, text) if "_x" in text else text


def _sign(found: re.Match[str]) -> str:
    number = int(found[1], 16)
    return found[0] if 0xD800 <= number <= 0xDFFF else chr(number)
