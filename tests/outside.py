"""The table of outside checks: which value from outside the project stands behind each number.

`tests/outside_checks.yaml` maps a number's id to one of two things. Checked against the outside:

    hold.start:
      expected: "236 psig"      # what the creamery's packet must print, worked from the source
      worked: "(250 + 14.18) x 527.67/554.67 - 14.18 = 237.1; real nitrogen less"
      source: Gas law; CoolProp's nitrogen
      tests: [tests/test_numbers.py::test_name]      # and, or instead:
      rows: {handbook file: [row ids]}

or nothing to check, for one of the reasons in `REASONS`, and why:

    time.recheck: {none: practice, why: "how long oil goes on giving off gas"}

An id with `*` stands for all that match it and have no entry of their own. For a table, `row` names
the row (as its entry is printed) whose text is `expected`.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from packets.composing.texts import entry_text
from packets.formatting import show
from packets.model.numbers import Entry, Number, NumberTable, Words, WriteIn
from tests import sample_jobs

FILE = Path(__file__).parent / "outside_checks.yaml"
CREAMERY = "creamery-cooler"
# Why a number has no outside check. Each can be seen in the register itself.
REASONS = {
    "given": "stands on the nameplate or in the job's files and is printed as given",
    "practice": "common practice, no source",
    "memory": "from memory; the packet marks it to be confirmed",
    "words": "a name or a mark from the job's files, no number",
    "write-in": "read on site, no value here",
}
CHECKED = {"expected", "worked", "source", "tests", "rows", "row"}


@dataclass(frozen=True)
class Line:
    """One number of the table, as some sample job prints it."""

    id: str
    job: str
    entry: Entry
    check: dict[str, Any]

    @property
    def printed(self) -> str:
        """What the packet prints; of a table, the row that is checked."""
        return printed_text(self.entry, str(self.check.get("row", "")))


@cache
def checks() -> dict[str, dict[str, Any]]:
    """The file's content."""
    content: dict[str, dict[str, Any]] = yaml.safe_load(FILE.read_text(encoding="utf-8"))
    return content


def entries() -> dict[str, tuple[str, Entry]]:
    """Every entry that a sample job's register makes, and the job: the creamery's first."""
    found: dict[str, tuple[str, Entry]] = {}
    ordered = sorted(sample_jobs.circuits(), key=lambda pair: (pair[0] != CREAMERY, pair[0]))
    for job, circuit in ordered:
        for entry in circuit.context.register:
            found.setdefault(entry.id, (job, entry))
    return found


def check_of(id: str) -> dict[str, Any] | None:
    """The entry of an id, else that of a pattern that fits it."""
    table = checks()
    fitting = [key for key in table if "*" in key and fnmatchcase(id, key)]
    return table.get(id) or (table[fitting[0]] if fitting else None)


def lines() -> Iterator[Line]:
    """The table, line by line; ids without a check are left out (a test names them)."""
    for id, (job, entry) in sorted(entries().items()):
        check = check_of(id)
        if check is not None:
            yield Line(id, job, entry, check)


def printed_text(entry: Entry, row: str = "") -> str:
    """An entry as a packet in inch-pound units prints it."""
    if not isinstance(entry, NumberTable):
        return entry_text(entry, "ip")
    for one in entry.rows:
        if show(one.by, entry.by_quantity, "ip", "nearest", entry.by_step).text == row:
            low = show(one.low, entry.quantity, "ip", "up", entry.step).value
            return f"{low} to {show(one.high, entry.quantity, 'ip', 'down', entry.step).text}"
    return f"no row {row!r}"


def reason_seen(entry: Entry) -> str:
    """The reason that the register itself gives for an entry without an outside check."""
    if isinstance(entry, Words):
        return "words"
    if isinstance(entry, WriteIn):
        return "write-in"
    assert isinstance(entry, (Number, NumberTable))
    return entry.confidence
