"""Reads the form and the attachments of one PDF and prints them as JSON: the only door to pypdf.

Run as a program of its own, by path, with limits on time and memory, so that a hostile file can
hurt nothing but this process. Nothing of the file is ever run, and nothing it names is fetched.
It imports nothing of ours.

Usage: python child.py FILE
"""

from __future__ import annotations

import base64
import json
import logging
import sys
from collections.abc import Iterator
from typing import Any

MAX_FIELDS = 5_000
MAX_VALUE = 500
MAX_ATTACHMENTS = 20
MAX_ATTACHMENT_BYTES = 8_000_000
MAX_DEPTH = 20
MAX_PAGES = 400
SECONDS, BYTES = 20, 1_500_000_000


def limited() -> None:
    """Bound time and memory of this process, where the system can."""
    try:
        import resource
    except ImportError:  # Windows: the parent's clock is the only bound
        return
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))


class Form:
    """Walks the form's tree; keeps what it found and what it stopped at."""

    def __init__(self) -> None:
        self.fields: list[tuple[str, Any]] = []
        self.notes: list[str] = []
        self.seen: set[Any] = set()

    def note(self, code: str) -> None:
        """Keep a note once."""
        if code not in self.notes:
            self.notes.append(code)

    def walk(self, references: Any) -> None:
        """Every named field below a list of references, the tree not deeper than it may be."""
        waiting = [(one, "", None, None, 0) for one in _listed(references)[::-1]]
        while waiting:
            reference, above, kind, value, depth = waiting.pop()
            if not self.first(reference):
                continue
            node = _object(reference)
            if not isinstance(node, dict):
                continue
            if "/AA" in node or _is_script(node.get("/A")):
                self.note("script")
            part = _text(_object(node.get("/T")))
            name = f"{above}.{part}" if above and part else above or part
            kind = _object(node.get("/FT")) or kind
            value = node.get("/V", value)
            kids = _listed(node.get("/Kids"))
            named = [kid for kid in kids if isinstance(_object(kid), dict) and "/T" in _object(kid)]
            if named and depth < MAX_DEPTH:
                waiting += [(kid, name, kind, value, depth + 1) for kid in named[::-1]]
            elif part:
                self.add(name, kind, _object(value), node)
            if len(self.fields) >= MAX_FIELDS:
                self.note("fields-many")
                return

    def first(self, reference: Any) -> bool:
        """Whether an object was not met before; what is no reference is always new."""
        key = (getattr(reference, "idnum", None), getattr(reference, "generation", None))
        if key[0] is None:
            return len(self.fields) < MAX_FIELDS
        if key in self.seen:
            return False
        self.seen.add(key)
        return True

    def add(self, name: str, kind: Any, value: Any, node: Any) -> None:
        """One field: a tick is true or false, all else is text."""
        if str(kind) == "/Btn":
            state = value if value is not None else _object(node.get("/AS"))
            self.fields.append((name[:200], state is not None and str(state) not in ("/Off", "")))
            return
        text = _text(value)
        if len(text) > MAX_VALUE:
            self.note("value-long")
        self.fields.append((name[:200], text[:MAX_VALUE]))


def _listed(value: Any) -> list[Any]:
    found = _object(value)
    return list(found[: MAX_FIELDS * 2]) if isinstance(found, list) else []


def _object(value: Any) -> Any:
    return value.get_object() if hasattr(value, "get_object") else value


def _text(value: Any) -> str:
    """Printable text of a string object; names and numbers count as what they show."""
    if value is None or isinstance(value, (dict, list)):
        return ""
    if isinstance(value, bytes):
        value = value.decode("latin-1")
    shown = str(value)
    kept = "".join(c if c.isprintable() else " " for c in shown[: MAX_VALUE * 2])
    return kept.encode("utf-8", "replace").decode("utf-8").strip()


def _is_script(action: Any) -> bool:
    found = _object(action)
    return isinstance(found, dict) and str(_object(found.get("/S"))) in (
        "/JavaScript", "/Launch", "/SubmitForm", "/ImportData", "/URI",
    )  # fmt: skip


def names(tree: Any, depth: int = 0) -> Iterator[tuple[str, Any]]:
    """The entries of a name tree."""
    node = _object(tree)
    if not isinstance(node, dict) or depth > MAX_DEPTH:
        return
    flat = _listed(node.get("/Names"))
    yield from ((_text(_object(flat[at])), flat[at + 1]) for at in range(0, len(flat) - 1, 2))
    for kid in _listed(node.get("/Kids"))[:MAX_ATTACHMENTS]:
        yield from names(kid, depth + 1)


def attachments(root: Any, form: Form) -> dict[str, str]:
    """Attached files by name, base64; the first of a name, none too large."""
    held: dict[str, str] = {}
    tree = _object(root.get("/Names")) or {}
    if "/JavaScript" in tree:
        form.note("script")
    for name, reference in names(tree.get("/EmbeddedFiles")):
        if len(held) >= MAX_ATTACHMENTS:
            form.note("attachments-many")
            break
        spec = _object(reference)
        files = _object(spec.get("/EF")) if isinstance(spec, dict) else None
        stream = _object(files.get("/F") or files.get("/UF")) if isinstance(files, dict) else None
        if stream is None or not hasattr(stream, "get_data"):
            continue
        shown = _text(_object(spec.get("/UF") or spec.get("/F"))) or name
        if shown in held:
            form.note("attachment-twice")
            continue
        try:
            data = stream.get_data()
        except Exception:  # one damaged attachment must not hide the form
            form.note("attachment-damaged")
            continue
        if len(data) > MAX_ATTACHMENT_BYTES:
            form.note("attachment-large")
            continue
        held[shown[:200]] = base64.b64encode(data).decode()
    return held


def read(path: str) -> dict[str, Any]:
    """What a PDF holds: fields, attachments, notes; or why it cannot be read."""
    from pypdf import PdfReader

    logging.getLogger("pypdf").setLevel(logging.CRITICAL)
    with open(path, "rb") as stream:
        reader = PdfReader(stream, strict=False)
        if reader.is_encrypted and not reader.decrypt(""):
            return {"error": "encrypted"}
        root = _object(reader.trailer["/Root"])
        form = Form()
        if "/OpenAction" in root and _is_script(root["/OpenAction"]):
            form.note("script")
        if "/AA" in root:
            form.note("script")
        held = _object(root.get("/AcroForm"))
        if isinstance(held, dict):
            if "/XFA" in held:
                form.note("xfa")
            form.walk(held.get("/Fields"))
        # Boxes on the pages that the form's own list has lost.
        for number in range(min(len(reader.pages), MAX_PAGES)):
            form.walk(
                [a for a in _listed(reader.pages[number].get("/Annots")) if _is_widget(_object(a))]
            )
        files = attachments(root, form)
    return {"fields": form.fields, "attachments": files, "notes": form.notes}


def _is_widget(node: Any) -> bool:
    return isinstance(node, dict) and str(node.get("/Subtype")) == "/Widget" and "/T" in node


def main() -> None:
    """Read the file named on the command line."""
    limited()
    try:
        found = read(sys.argv[1])
    except MemoryError:
        found = {"error": "memory"}
    except ImportError as problem:
        found = {"error": "library", "about": problem.name or ""}
    except RecursionError:
        found = {"error": "damaged", "about": "nested too deep"}
    except Exception as problem:  # a damaged file can fail anywhere in the library
        kind = type(problem).__name__
        found = {"error": "encrypted" if "Decrypt" in kind else "damaged", "about": kind}
        if kind == "DependencyError":
            found = {"error": "encrypted", "about": kind}
    sys.stdout.write(json.dumps(found))


if __name__ == "__main__":
    main()
