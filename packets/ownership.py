"""Whether a file is one that this program wrote and nobody has changed since.

An output replaces only such a file, so that `-o` with a wrong name never destroys a file of the
shop or a packet that was filled in. A PDF and an HTML file end with the SHA-256 of
what stands before it; a completion record is known by its format, a table of records by its form.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
import re
from pathlib import Path

from packets.model.record import FORMAT, TABLE_HEADS

MAX_BYTES = 200_000_000
_WORDS = "Job packets, unchanged since it was written: sha256"
_PDF_END = re.compile(rb"% " + _WORDS.encode() + rb" ([0-9a-f]{64})\nstartxref\s+\d+\s+%%EOF\s*\Z")
_HTML_END = re.compile(rb"<!-- " + _WORDS.encode() + rb" ([0-9a-f]{64}) -->\n\Z")


class NotOurs(Exception):
    """The file in the output's place was not written by this program, or was changed since."""

    def __init__(self, path: Path) -> None:
        """`path` is the file that stays as it is."""
        self.path = path
        super().__init__(
            f"{path} is already there, and it is not a file that this program wrote, or somebody"
            " changed it since. It was not replaced. Name another file, or move that one away."
        )


def seal_pdf(data: bytes) -> bytes:
    """Return a PDF with the digest of its content in a comment before its last `startxref`.

    A comment may stand wherever white space may (ISO 32000-1, 7.2.3, from memory), and offsets
    count from the start of the file, so none changes.
    """
    at = data.rindex(b"startxref")
    line = f"% {_WORDS} {hashlib.sha256(data[:at]).hexdigest()}\n".encode()
    return data[:at] + line + data[at:]


def seal_html(text: str) -> str:
    """Return an HTML document with the digest of its content as a comment at its end."""
    body = text if text.endswith("\n") else text + "\n"
    return f"{body}<!-- {_WORDS} {hashlib.sha256(body.encode()).hexdigest()} -->\n"


def refuse_foreign(path: Path) -> None:
    """Raise NotOurs when something is at `path` that this program did not write.

    Raises OSError when the file is there and cannot be read.
    """
    if path.is_symlink() or path.exists():
        # A pipe or a device would wait for ever.
        if not path.is_file():
            raise NotOurs(path)
        with path.open("rb") as stream:
            data = stream.read(MAX_BYTES + 1)
        if data and not is_ours(data):
            raise NotOurs(path)


def is_ours(data: bytes) -> bool:
    """Whether the bytes are an output of this program, as it wrote them."""
    if data.startswith(b"%PDF-"):
        return _sealed(_PDF_END, data[-400:], data)
    if _sealed(_HTML_END, data[-400:], data):
        return True
    return _is_record(data) or _is_table(data)


def _sealed(end: re.Pattern[bytes], tail: bytes, data: bytes) -> bool:
    found = end.search(tail)
    if found is None:
        return False
    before = data[: len(data) - len(tail) + found.start()]
    return hashlib.sha256(before).hexdigest().encode() == found[1]


def _is_record(data: bytes) -> bool:
    try:
        held = json.loads(data.decode("utf-8"))
    except (ValueError, RecursionError):
        return False
    return isinstance(held, dict) and held.get("format") == FORMAT


def _is_table(data: bytes) -> bool:
    """Whether a CSV has our heads and is written as we write one, cell for cell."""
    try:
        text = data.decode("utf-8")
        rows = list(csv.reader(io.StringIO(text, newline="")))
    except (ValueError, csv.Error):
        return False
    if not rows or tuple(rows[0]) != TABLE_HEADS:
        return False
    again = io.StringIO()
    csv.writer(again, lineterminator="\n").writerows(rows)
    return again.getvalue() == text and all(len(row) == len(TABLE_HEADS) for row in rows)
