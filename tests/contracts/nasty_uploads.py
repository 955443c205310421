"""Requests that bring a file in a form, each spoiled another way: head, parts, and what the file holds."""

import io
import json
import zipfile
from collections.abc import Iterator
from typing import NamedTuple

from tests.contracts.nasty_fields import nasty_values
from tests.intake.imports.files import MAPPING, line, sheet

BOUNDARY = "x"
FORM = f"multipart/form-data; boundary={BOUNDARY}"
NAMED = b"Content-Disposition: form-data; name="
ROWS = sheet(line())
EVERY = 9  # of the many nasty texts, as names of files
FILE = (NAMED + b'"file"; filename="march.csv"', ROWS)
BESIDE = (NAMED + b'"mapping"', json.dumps(MAPPING).encode())
NAMES = [
    "march\0.csv", "march\n.csv", "march\r\nX-Told: yes", "\u202evsc.hcram", "../../march.csv",
    "C:\\march.csv", 'march".csv', 'march"; name="mapping', "a" * 100_000, "<script>alert(1)</script>.csv",
    "=1+1", "%0d%0a",
]  # fmt: skip
KINDS = [
    "multipart/form-data", "multipart/form-data; boundary=", "multipart/form-data; boundary=another",
    "multipart/form-data; boundary=é", "multipart/form-data; boundary*=utf-8''%E2%82%AC",
    'multipart/form-data; boundary="x', f"multipart/form-data; boundary={'x' * 71}", "multipart/mixed",
    f"{FORM}; charset=utf-16", f"{FORM}; charset=nonsense", f"{FORM}, text/csv", "text/csv; charset=utf-16",
    ";", "",
]  # fmt: skip
HEADS = [
    b"", b":", b"nonsense", b"X: y", NAMED, NAMED + b'""', NAMED + b'"\xff"', NAMED + b'"file\0"',
    NAMED + b'"FILE"',
    NAMED + b'"file"\r\n' + b"".join(b"x%d: y\r\n" % number for number in range(1000)) + b"a: b",
    NAMED + b'"file"\r\nx: ' + b"y" * 500_000, b"Content-Disposition: form-data",
]  # fmt: skip
MAPPINGS = [
    "",
    "\0",
    "{",
    "[]",
    "null",
    "1",
    '"a"',
    "a = 1",
    "\ufeff{}",
    "'''",
    "[[a]]",
    '{"site": "\\ud800"}',
]
CONTENTS = [
    b"", b"\0" * 1000, b"\xff\xfe", b"\xfe\xff\0a", b"\xef\xbb\xbf", b'"', b'"' * 100_000, b"," * 100_000,
    b"\r" * 1000, b"a" * 1_100_000, b"Site,Date\n\xff\xfe", b"\x1a", b"{", b"{}\n" * 9,
    b'{"a":' + b"[" * 100_000,
    b"PK\x03\x04" + b"\0" * 1000, b"%PDF-1.7",
]  # fmt: skip


class Upload(NamedTuple):
    """What is sent, and in which way it is spoiled; ``name`` is what the file is called."""

    spoiled: str
    kind: str
    body: bytes
    name: str = ""


def form(*parts: tuple[bytes, bytes]) -> bytes:
    """Return a form of parts: what stands above each, and what it holds."""
    whole = b"".join(b"--x\r\n" + head + b"\r\n\r\n" + content + b"\r\n" for head, content in parts)
    return whole + b"--x--\r\n"


def spoiled_uploads() -> Iterator[Upload]:
    """Give each."""
    written = [json.loads(value) for value in nasty_values() if value.startswith('"')]
    for name in (*NAMES, *written[::EVERY]):
        raw = name.encode("utf-8", "surrogatepass")
        yield Upload("name", FORM, form((NAMED + b'"file"; filename="' + raw + b'"', ROWS), BESIDE), name)
    for kind in KINDS:
        yield Upload("kind", kind, form(FILE, BESIDE))
    for head in HEADS:
        yield Upload("head", FORM, form((head, ROWS), BESIDE))
    for mapping in MAPPINGS:
        yield Upload("mapping", FORM, form(FILE, (NAMED + b'"mapping"', mapping.encode())))
    for content in (*CONTENTS, _bomb()):
        for beside in ((), (BESIDE,)):
            yield Upload("content", FORM, form((NAMED + b'"file"; filename="a.csv"', content), *beside))
    whole = form(FILE, BESIDE)
    for body in (b"", b"--x--\r\n", whole[:-6], whole.replace(b"\r\n", b"\n"), form(FILE, FILE, BESIDE)):
        yield Upload("whole", FORM, body)
    for body in (
        form(FILE, BESIDE, BESIDE),
        form(*[FILE] * 1000),
        b"before\r\n" + whole,
        whole + b"junk" * 9,
    ):
        yield Upload("whole", FORM, body)


def _bomb() -> bytes:
    """Return a workbook of 48 kB that unpacks to 48 MB."""
    packed = io.BytesIO()
    with zipfile.ZipFile(packed, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b"0" * 48_000_000)
    return packed.getvalue()
