"""A filled PDF: its form fields and attached files, read in a process that can hurt nothing.

Whatever a file holds, this answers with what could be read and with findings.
"""

from __future__ import annotations

import base64
import json
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from packets.findings import Findings, Place

MAX_BYTES = 40_000_000
SECONDS = 40
_CHILD = Path(__file__).with_name("child.py")


class MissingLibrary(Exception):
    """The library that reads PDFs is not installed."""


@dataclass(frozen=True)
class FilledPdf:
    """What a PDF holds: every field in order (a name may stand twice), and its attachments."""

    fields: tuple[tuple[str, str | bool], ...]
    attachments: dict[str, bytes]


# What the reader met: does it stop, message, fix.
_NOTES: dict[str, tuple[bool, str, str]] = {
    "script": (
        False,
        "the PDF holds a script or an action; it was not run",
        "print the packet anew when you did not put it there",
    ),
    "xfa": (
        False,
        "the PDF holds a second form of another kind; it was not read",
        "fill in the form with a viewer that keeps the packet's own fields",
    ),
    "fields-many": (
        True,
        "the PDF holds more fields than any packet; the rest was not read",
        "take the packet as it was printed",
    ),
    "value-long": (
        False,
        "a field holds more text than fits its box; it was cut at 500 letters",
        "write the rest on the record",
    ),
    "attachments-many": (
        False,
        "the PDF carries more files than any packet; the rest was not read",
        "take the packet as it was printed",
    ),
    "attachment-twice": (
        True,
        "two attached files bear one name; the first was read",
        "take the packet as it was printed",
    ),
    "attachment-damaged": (
        True,
        "an attached file cannot be unpacked",
        "take another copy of the packet",
    ),
    "attachment-large": (
        True,
        "an attached file is larger than any of ours; it was not read",
        "take the packet as it was printed",
    ),
}
# Why nothing could be read: code, message, fix.
_ERRORS = {
    "encrypted": ("pdf-encrypted", "the PDF is locked by a password", "save it without a password"),
    "memory": (
        "pdf-too-much",
        "the PDF unpacks to more than this program takes in",
        "take another copy",
    ),
    "time": (
        "pdf-too-much",
        f"reading the PDF took more than {SECONDS} s; it was given up",
        "take another copy",
    ),
    "damaged": (
        "pdf-damaged",
        "the PDF is damaged",
        "take another copy, or type the readings into a readings file",
    ),
}


def read(path: Path, shown: str, findings: Findings) -> FilledPdf | None:
    """Read a PDF; `shown` is the name shown to people. None when nothing could be read.

    Raises `MissingLibrary` when pypdf is not installed.
    """
    place = Place(shown)
    try:
        if not path.is_file():
            findings.error("file-unreadable", place, "not a file", "name a file")
            return None
        if path.stat().st_size > MAX_BYTES:
            findings.error(
                "file-size", place, "the file is too large", f"at most {MAX_BYTES} bytes"
            )
            return None
    except (OSError, ValueError):
        findings.error("file-unreadable", place, "cannot be read", "check the name and rights")
        return None
    found = _child(path)
    if (problem := found.get("error")) is not None:
        if problem == "library":
            raise MissingLibrary("the library pypdf, which reads filled PDFs, is not installed")
        code, message, fix = _ERRORS[problem if problem in _ERRORS else "damaged"]
        about = found.get("about")
        findings.error(code, place, f"{message} ({about})" if about else message, fix)
        return None
    for note in found.get("notes", []):
        stops, message, fix = _NOTES[note]
        (findings.error if stops else findings.warn)(f"pdf-{note}", place, message, fix)
    held = {name: base64.b64decode(text) for name, text in found["attachments"].items()}
    return FilledPdf(tuple((name, value) for name, value in found["fields"]), held)


def _child(path: Path) -> dict[str, Any]:
    """What the reading process says."""
    command = [sys.executable, "-P", str(_CHILD), str(path.resolve())]
    try:
        done = subprocess.run(
            command,
            stdin=subprocess.DEVNULL,
            capture_output=True,
            timeout=SECONDS,
            check=False,
        )
    except subprocess.TimeoutExpired:
        return {"error": "time"}
    try:
        found: dict[str, Any] = json.loads(done.stdout)
    except ValueError:  # killed by a limit, or out of memory while it wrote
        return {"error": "time" if done.returncode < 0 else "memory"}
    return found
