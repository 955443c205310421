"""The XML inside a workbook, read in pieces, without ever taking a declaration that could blow it up."""

from collections.abc import Iterator
from typing import Any
from xml.etree import ElementTree
from xml.parsers import expat
from zipfile import ZipFile

from service.intake.sheets.cell import Unreadable
from service.intake.sheets.limits import LARGEST_PART_BYTES

CHUNK_BYTES = 131_072
PROLOG_BYTES = 4_096
Element = ElementTree.Element


def local(tag: str) -> str:
    """Return the name of an element without its name space, of which there are two."""
    return tag.rpartition("}")[2]


def whole_part(book: ZipFile, name: str) -> Element:
    """Return a small part of a workbook.

    Raises
    ------
    Unreadable
        It is large, or declares a document type.
    """
    if book.getinfo(name).file_size > LARGEST_PART_BYTES:
        raise Unreadable(
            "The workbook's list of sheets or of formats is far too large. Copy the rows into a new "
            "workbook and send that."
        )
    _refuse_declarations(book, name)
    return ElementTree.fromstring(book.read(name))  # noqa: S314  a document type was refused before


def finished_children(book: ZipFile, name: str, container: str) -> Iterator[Element]:
    """Give the children of one element of a part, each as soon as it is whole; none is kept.

    ``container`` is the part's outermost element, or one right within it.
    """
    _refuse_declarations(book, name)
    builder = ElementTree.TreeBuilder()
    top: Element = builder.start("top", {})
    parser = ElementTree.XMLParser(target=builder)  # noqa: S314  a document type was refused before
    inside: Element | None = None
    with book.open(name) as part:
        while chunk := part.read(CHUNK_BYTES):
            parser.feed(chunk)
            inside = inside if inside is not None else _find(top, container)
            if inside is not None and len(inside) > 1:
                done = inside[:-1]
                del inside[:-1]
                yield from done
    parser.close()
    yield from inside if inside is not None else ()


def _find(top: Element, container: str) -> Element | None:
    for root in top:
        if local(root.tag) == container:
            return root
        for child in root:
            if local(child.tag) == container:
                return child
    return None


def _refuse_declarations(book: ZipFile, name: str) -> None:
    """Refuse a document type, which only stands before the first element: so no entity is ever declared."""
    parser = expat.ParserCreate()
    begun: list[str] = []

    def refuse(*_: Any) -> None:
        raise Unreadable(
            "The workbook holds a declaration (DTD) that no spreadsheet program writes; it is refused."
        )

    def begin(tag: str, _: Any) -> None:
        begun.append(tag)
        parser.StartElementHandler = None

    parser.StartDoctypeDeclHandler = refuse
    parser.StartElementHandler = begin
    with book.open(name) as part:
        while not begun and (chunk := part.read(PROLOG_BYTES)):
            parser.Parse(chunk)
