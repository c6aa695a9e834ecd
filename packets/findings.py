"""Findings: a problem is a value with a code, a place, a message and a fix.

Stages add findings to a `Findings` collector and go on, so that one run shows every problem of
every file. Printing and exit codes are decided in one spot, the command line.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

Severity = Literal["error", "warning"]


class Place(NamedTuple):
    """Where in a file. Lines and columns count from 1; 0 means the whole file.

    A tuple, since reading makes one for every value of every file.
    """

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        if not self.line:
            return self.file
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True)
class Finding:
    """A problem. An error stops the packet, a warning is printed on the dispatch sheet."""

    code: str
    place: Place
    message: str
    fix: str = ""
    severity: Severity = "error"

    def __str__(self) -> str:
        text = f"{self.place}: {self.severity} [{self.code}] {self.message}"
        return f"{text}\n    fix: {self.fix}" if self.fix else text

    def as_json(self) -> dict[str, object]:
        """The same finding for a program."""
        return {
            "code": self.code,
            "severity": self.severity,
            "file": self.place.file,
            "line": self.place.line,
            "column": self.place.column,
            "message": self.message,
            "fix": self.fix,
        }


@dataclass
class Findings:
    """Collects findings; the same finding twice counts once."""

    items: dict[Finding, None] = field(default_factory=dict)
    # Keys that a finding has asked a person to fill in or mend: what waits for one of these is not
    # told again.
    asked: set[str] = field(default_factory=set)
    # How often anything was added, repetitions included: whether a stage found something is told by
    # this count and not by the number of items, since a second look at one file adds no new item.
    added: int = 0

    def error(self, code: str, place: Place, message: str, fix: str = "") -> None:
        """Add a problem that stops the packet."""
        self.add(Finding(code, place, message, fix))

    def warn(self, code: str, place: Place, message: str, fix: str = "") -> None:
        """Add a problem that the manager must see but that stops nothing."""
        self.add(Finding(code, place, message, fix, "warning"))

    def add(self, finding: Finding) -> None:
        """Add one finding unless it is there already."""
        self.added += 1
        self.items.setdefault(finding)

    def extend(self, findings: Iterable[Finding]) -> None:
        """Add many."""
        for finding in findings:
            self.add(finding)

    def has_asked(self, key: str) -> bool:
        """Whether a finding has asked for this key, or for one that holds it."""
        parts = key.split(".")
        return any(".".join(parts[:at]) in self.asked for at in range(1, len(parts) + 1))

    @property
    def stop(self) -> bool:
        """Whether any finding stops the packet."""
        return any(item.severity == "error" for item in self.items)

    def errors(self) -> list[Finding]:
        """Those that stop."""
        return [item for item in self if item.severity == "error"]

    def warnings(self) -> list[Finding]:
        """Those that do not."""
        return [item for item in self if item.severity == "warning"]

    def __iter__(self) -> Iterator[Finding]:
        return iter(sorted(self.items, key=lambda f: (f.place, f.severity, f.code, f.message)))

    def __len__(self) -> int:
        return len(self.items)


def nearest(word: str, known: Iterable[str]) -> str:
    """The known name nearest to `word`, or "" when none is near."""
    # Long inputs make the comparison quadratic; no known name is that long.
    found = difflib.get_close_matches(word[:80], list(known), n=1, cutoff=0.6)
    return found[0] if found else ""


# More names than this are no help to anybody; then the nearest few are told.
_MANY, _FEW = 30, 3


def suggest(word: str, known: Iterable[str]) -> str:
    """A fix that names the nearest known name, else all of them; of very many the nearest three."""
    names = sorted(known)
    near = nearest(word, names)
    if near:
        return f"did you mean {near}?"
    if len(names) > _MANY:
        few = difflib.get_close_matches(word[:80], names, n=_FEW, cutoff=0.0)
        return f"of {len(names)} names the nearest are {', '.join(few)}"
    return f"known: {', '.join(names)}" if names else "none is known here"
