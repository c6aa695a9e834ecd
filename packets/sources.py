"""YAML text to plain data with a place for every value. The only module that knows YAML.

Stricter than YAML on purpose, because people write these files: no word turns into a boolean, a
date or a base-60 number; a key may stand once; anchors, aliases and tags are refused; depth and
size are bounded. Built from the event stream, so no nesting can exhaust the stack.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import yaml

from packets.findings import Findings, Place

MAX_BYTES = 1_000_000
MAX_DEPTH = 24
MAX_NODES = 10_000

Path_ = tuple[str | int, ...]
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)

_INTEGER = re.compile(r"-?(0|[1-9][0-9]{0,17})")
_DECIMAL = re.compile(r"-?(0|[1-9][0-9]{0,17})\.[0-9]{1,17}")


@dataclass(frozen=True)
class Document:
    """One file: its data and, for each path into the data, the place of key and value."""

    file: str
    data: Any
    values: dict[Path_, Place]
    keys: dict[Path_, Place]

    def place(self, *path: str | int) -> Place:
        """Place of the value at `path`, or of the nearest parent that has one."""
        at: Path_ = path
        while at and at not in self.values:
            at = at[:-1]
        return self.values.get(at, Place(self.file))

    def key_place(self, *path: str | int) -> Place:
        """Place of the key at `path`, or else of its value."""
        return self.keys.get(path) or self.place(*path)


def scalar(text: str, plain: bool) -> str | int | float | bool | None:
    """What an unquoted word means: integers, decimals, true, false, null; all else is text."""
    if not plain:
        return text
    if text in ("", "~", "null"):
        return None
    if text in ("true", "false"):
        return text == "true"
    if _INTEGER.fullmatch(text):
        return int(text)
    if _DECIMAL.fullmatch(text):
        return float(text)
    return text


@dataclass
class _Open:
    """A mapping or list that is being filled."""

    path: Path_
    value: Any
    key: str | None = None
    skip: bool = False


class _Refused(Exception):
    """The rest of the file cannot be read."""


@dataclass
class _Builder:
    """Builds data from parser events; holds the stack of open collections."""

    file: str
    findings: Findings
    values: dict[Path_, Place] = field(default_factory=dict)
    keys: dict[Path_, Place] = field(default_factory=dict)
    stack: list[_Open] = field(default_factory=list)
    root: Any = None
    documents: int = 0
    nodes: int = 0

    def at(self, event: Any) -> Place:
        mark = event.start_mark
        return Place(self.file, mark.line + 1, mark.column + 1)

    def refuse(self, code: str, event: Any, message: str, fix: str) -> None:
        self.findings.error(code, self.at(event), message, fix)
        raise _Refused

    def handle(self, event: Any) -> None:
        kind = type(event)
        if kind is yaml.ScalarEvent and event.anchor is None:
            self.refuse_tag(event)
            self.scalar(event)
        elif kind is yaml.DocumentStartEvent:
            self.documents += 1
            if self.documents > 1:
                self.refuse(
                    "yaml-documents", event, "a second document in one file", "one file each"
                )
        elif kind is yaml.AliasEvent or getattr(event, "anchor", None):
            self.refuse(
                "yaml-alias", event, "anchors and aliases are not read here", "write the value out"
            )
        elif isinstance(event, yaml.CollectionStartEvent):
            self.refuse_tag(event)
            self.open(event, {} if kind is yaml.MappingStartEvent else [])
        elif isinstance(event, yaml.CollectionEndEvent):
            self.stack.pop()

    def refuse_tag(self, event: Any) -> None:
        if event.tag is not None:
            self.refuse("yaml-tag", event, f"tag {event.tag} is not read here", "leave the tag out")

    def open(self, event: Any, empty: Any) -> None:
        if len(self.stack) >= MAX_DEPTH:
            self.refuse("yaml-depth", event, "nested too deep", f"at most {MAX_DEPTH} levels")
        if self.stack and isinstance(self.stack[-1].value, dict) and self.stack[-1].key is None:
            self.refuse("yaml-key", event, "a key must be a plain word", "write a word")
        path = self.put(empty, self.at(event))
        self.stack.append(_Open(path, empty))

    def scalar(self, event: Any) -> None:
        top = self.stack[-1] if self.stack else None
        if top is not None and isinstance(top.value, dict) and top.key is None:
            self.key(top, event)
            return
        plain = event.implicit[0] and event.style in (None, "")
        self.put(scalar(event.value, plain), self.at(event))

    def key(self, top: _Open, event: Any) -> None:
        name: str = event.value
        place = self.at(event)
        top.key = name
        top.skip = name in top.value
        if top.skip:
            first = self.keys.get((*top.path, name))
            self.findings.error(
                "yaml-duplicate",
                place,
                f"key {name!r} stands twice",
                f"keep one; the first is on line {first.line if first else '?'}",
            )
        elif name == "<<":
            self.findings.error("yaml-merge", place, "merge keys are not read here", "write it out")
        else:
            self.keys[(*top.path, name)] = place

    def put(self, value: Any, place: Place) -> Path_:
        path: Path_ = ()
        self.nodes += 1
        if self.nodes > MAX_NODES:
            self.findings.error(
                "yaml-size", place, "too many values in one file", f"at most {MAX_NODES}"
            )
            raise _Refused
        if not self.stack:
            self.root = value
        else:
            top = self.stack[-1]
            if isinstance(top.value, dict):
                assert top.key is not None
                path = (*top.path, top.key)
                # A repeated key keeps its first value; what follows is read but dropped.
                if top.skip:
                    path = (*top.path, f"{top.key}\0")
                else:
                    top.value[top.key] = value
                top.key = None
            else:
                path = (*top.path, len(top.value))
                top.value.append(value)
        self.values[path] = place
        return path


def parse(text: str, file: str, findings: Findings) -> Document | None:
    """Read YAML text. Problems go to `findings`; None when there is nothing to go on with."""
    builder = _Builder(file, findings)
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            builder.handle(event)
    except _Refused:
        return None
    except yaml.MarkedYAMLError as problem:
        mark = problem.problem_mark or problem.context_mark
        place = Place(file, mark.line + 1, mark.column + 1) if mark else Place(file)
        findings.error("yaml-syntax", place, problem.problem or str(problem), "mend the YAML here")
        return None
    except (yaml.YAMLError, ValueError) as problem:
        findings.error("yaml-syntax", Place(file), str(problem).splitlines()[0], "mend the YAML")
        return None
    if builder.documents == 0 or builder.root is None:
        findings.error("yaml-empty", Place(file), "the file is empty", "fill it in")
        return None
    return Document(file, builder.root, builder.values, builder.keys)


def read(path: Path, file: str, findings: Findings) -> Document | None:
    """Read a YAML file; `file` is the name shown to people."""
    text = read_text(path, file, findings)
    return None if text is None else parse(text, file, findings)


def read_text(path: Path, file: str, findings: Findings) -> str | None:
    """Return the text of a file of at most MAX_BYTES; None, with a finding, if it cannot be read.

    A byte order mark at the start is left out. A pipe or a device is refused:
    it could wait for ever.
    """
    try:
        if path.exists() and not path.is_file():
            findings.error("file-unreadable", Place(file), "not a file", "name a file")
            return None
        with path.open("rb") as stream:
            raw = stream.read(MAX_BYTES + 1)
    except (OSError, RuntimeError, ValueError) as problem:
        reason = getattr(problem, "strerror", None) or "cannot be read"
        findings.error("file-unreadable", Place(file), reason.lower(), "check the name and rights")
        return None
    if len(raw) > MAX_BYTES:
        findings.error(
            "file-size", Place(file), "the file is too large", f"at most {MAX_BYTES} bytes"
        )
        return None
    try:
        return raw.decode("utf-8-sig")
    except UnicodeDecodeError as problem:
        line = raw[: problem.start].count(b"\n") + 1
        findings.error("file-encoding", Place(file, line, 1), "not UTF-8 text", "save it as UTF-8")
        return None
