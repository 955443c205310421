"""Which letters the bytes of a text file stand for, checked to its last byte before a row is read."""

import codecs
from pathlib import Path

from service.intake.sheets.cell import Unreadable

CHUNK_BYTES = 1_048_576
MARKS = ((codecs.BOM_UTF8, "utf-8-sig"), (codecs.BOM_UTF16_LE, "utf-16"), (codecs.BOM_UTF16_BE, "utf-16"))
SAVE_AS_UTF_8 = "save the file as CSV in UTF-8"


def encoding_of(path: Path, declared: str) -> str:
    """Return the encoding that a text file is written in: by its byte-order mark, else as declared.

    Raises
    ------
    Unreadable
        The file is not written in it; the line and the byte are named, and what to declare.
    """
    with path.open("rb") as file:
        begin = file.read(4)
    found = next((name for mark, name in MARKS if begin.startswith(mark)), "")
    if begin.startswith(codecs.BOM_UTF32_LE):
        raise Unreadable(f"The file is written in UTF-32, which is not read here; {SAVE_AS_UTF_8}.")
    if not found and declared == "utf-16":
        found = "utf-16-be" if begin[:1] == b"\0" else "utf-16-le"
    _check(path, found or declared)
    return found or declared


def decodes(path: Path, encoding: str) -> str:
    """Return the encoding that a text file is read in when one is declared; an empty text if it cannot be."""
    try:
        return encoding_of(path, encoding)
    except Unreadable:
        return ""


def _check(path: Path, encoding: str) -> None:
    decoder = codecs.getincrementaldecoder(encoding)()
    as_utf_8: codecs.IncrementalDecoder | None = None
    if encoding in ("latin-1", "windows-1252"):
        as_utf_8 = codecs.getincrementaldecoder("utf-8")()
    plain = True
    offset = 0
    with path.open("rb") as file:
        while True:
            chunk = file.read(CHUNK_BYTES)
            try:
                text = decoder.decode(chunk, final=not chunk)
            except UnicodeDecodeError as error:
                begin = offset + len(chunk) - len(error.object)  # some decoders take the mark off first
                raise _not_written_in(path, encoding, begin + error.start) from None
            _refuse_nul(path, encoding, text)
            if encoding == "latin-1":
                _refuse_controls(path, text, offset)
            as_utf_8 = _still(as_utf_8, chunk)
            plain = plain and chunk.isascii()
            offset += len(chunk)
            if not chunk:
                break
    if as_utf_8 is not None and not plain:
        raise Unreadable(
            f"The file is said to be {encoding}, but its letters are those of UTF-8; say "
            'encoding = "utf-8" in the mapping.'
        )


def _still(decoder: codecs.IncrementalDecoder | None, chunk: bytes) -> codecs.IncrementalDecoder | None:
    """Return the decoder as long as everything so far can be read by it."""
    if decoder is not None:
        try:
            decoder.decode(chunk, final=not chunk)
        except UnicodeDecodeError:
            return None
    return decoder


def _not_written_in(path: Path, encoding: str, offset: int) -> Unreadable:
    line, byte = _line_and_byte(path, encoding, offset)
    if encoding.startswith("utf-8"):
        cure = 'older programs write windows-1252: say encoding = "windows-1252" in the mapping'
    else:
        cure = "say in the mapping which encoding it is"
    return Unreadable(
        f"The file is not written in {encoding.removesuffix('-sig')}: byte {offset + 1}, in line {line}, is "
        f"{byte}. To mend it, {cure}, or {SAVE_AS_UTF_8}."
    )


def _line_and_byte(path: Path, encoding: str, offset: int) -> tuple[int, str]:
    with path.open("rb") as file:
        text = file.read(offset).decode(encoding, "replace")
        byte = file.read(1)
    return 1 + _line_ends(text), f"0x{byte.hex().upper()}"


def _line_ends(text: str) -> int:
    return text.count("\n") + text.count("\r") - text.count("\r\n")


def _refuse_nul(path: Path, encoding: str, text: str) -> None:
    if "\0" not in text:
        return
    with path.open("rb") as file:
        offset = 0
        while (chunk := file.read(CHUNK_BYTES)) and b"\0" not in chunk:
            offset += len(chunk)
    offset += max(chunk.find(b"\0"), 0)
    line, _ = _line_and_byte(path, encoding, offset)
    raise Unreadable(
        f"The file holds a character that no text holds (NUL), first in line {line}. If a program saved it "
        "as "
        f'"Unicode text", say encoding = "utf-16" in the mapping; else {SAVE_AS_UTF_8}.'
    )


def _refuse_controls(path: Path, text: str, offset: int) -> None:
    if text.isascii():
        return
    for place, letter in enumerate(text):
        if "\x80" <= letter <= "\x9f":
            line, byte = _line_and_byte(path, "latin-1", offset + place)
            raise Unreadable(
                f"The file is not written in latin-1: byte {offset + place + 1}, in line {line}, is "
                f"{byte}, which "
                'is a letter in windows-1252 only. Say encoding = "windows-1252" in the mapping.'
            )
