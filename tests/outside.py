"""The table of outside checks: which value from outside the project stands behind each number.

`tests/outside_checks.yaml` maps a number's id to one of two things. Checked against the outside:

    hold.start:
      expected: "236 psig"      # what the packet must print, worked from the source
      worked: "(250 + 14.18) x 527.67/554.67 - 14.18 = 237.1; real nitrogen less"
      source: Gas law; CoolProp's nitrogen
      tests: [tests/test_numbers.py::test_name]      # and, or instead:
      rows: {handbook file: [row ids]}

or nothing to check, for one of the reasons in `REASONS`, and why:

    time.recheck: {none: practice, why: "how long oil goes on giving off gas"}

An id with `*` stands for all that match it and have no entry of their own. Such a family may be
checked against a handbook whose rows are named by what the `*` stands for and all behind it:

    braze.*.solidus: {handbook: filler_metals}     # braze.bag-5.solidus: its row bag-5.solidus

For a table, `row` names the row (as its entry is printed) whose text is `expected`; for a table
entered with two readings `column` as well.

The value is that of the creamery's packet; where the creamery makes none or leaves it to be read on
site, of the first sample job that makes one.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path
from typing import Any

import yaml

from packets.composing import grids
from packets.composing.texts import entry_text
from packets.formatting import show, unit_of
from packets.model.numbers import Entry, NumberGrid, NumberTable, Words, WriteIn
from tests import sample_jobs
from tests.handbook_rows import rows

FILE = Path(__file__).parent / "outside_checks.yaml"
CREAMERY = "creamery-cooler"
# Why a number has no outside check. Each can be seen in the register itself.
REASONS = {
    "given": "stands on the nameplate or in the job's files and is printed as given",
    "practice": "common practice, no source",
    "memory": "from memory; the packet marks it to be confirmed",
    "words": "a text, no number of its own",
    "write-in": "read on site, no value here",
}
CHECKED = {"expected", "worked", "source", "tests", "rows", "row", "column"}
FAMILY = {"handbook"}


@dataclass(frozen=True)
class Line:
    """One number of the table, as some sample job prints it."""

    id: str
    job: str
    entry: Entry
    check: dict[str, Any]

    @property
    def printed(self) -> str:
        """What the packet prints; of a table, the row or cell that is checked."""
        return printed_text(
            self.entry, str(self.check.get("row", "")), str(self.check.get("column", ""))
        )


@cache
def checks() -> dict[str, dict[str, Any]]:
    """The file's content."""
    content: dict[str, dict[str, Any]] = yaml.safe_load(FILE.read_text(encoding="utf-8"))
    return content


def entries() -> dict[str, tuple[str, Entry]]:
    """Every entry that a sample job's register makes, and the job; a blank only where no job makes
    a value. The creamery comes first, then the jobs made up for the numbers it does not have."""
    order = [CREAMERY, *sample_jobs.OWN]
    found: dict[str, tuple[str, Entry]] = {}
    for job, circuit in sorted(sample_jobs.circuits(), key=lambda pair: _place(pair[0], order)):
        for entry in circuit.context.register:
            held = found.setdefault(entry.id, (job, entry))
            if isinstance(held[1], WriteIn) and not isinstance(entry, WriteIn):
                found[entry.id] = (job, entry)
    return found


def _place(job: str, order: list[str]) -> tuple[int, str]:
    return order.index(job) if job in order else len(order), job


def check_of(id: str) -> dict[str, Any] | None:
    """The entry of an id, else that of a pattern that fits it."""
    table = checks()
    if id in table:
        return table[id]
    for pattern, check in table.items():
        if "*" in pattern and fnmatchcase(id, pattern):
            return _of_family(id, pattern, check) if "handbook" in check else check
    return None


def _of_family(id: str, pattern: str, check: dict[str, Any]) -> dict[str, Any] | None:
    """A family's check for one of its ids; None where the handbook has no row of that name."""
    name = id.removeprefix(pattern.partition("*")[0])
    row = next((row for row in rows(check["handbook"]) if row["id"] == name), None)
    return row and {
        "expected": f"{row['expected']} {row['unit']}",
        "worked": "as printed",
        "source": row["source"],
        "rows": {check["handbook"]: [name]},
    }


def lines() -> Iterator[Line]:
    """The table, line by line; ids without a check are left out (a test names them)."""
    for id, (job, entry) in sorted(entries().items()):
        check = check_of(id)
        if check is not None:
            yield Line(id, job, entry, check)


def printed_text(entry: Entry, row: str = "", column: str = "") -> str:
    """An entry as a packet in inch-pound units prints it."""
    if isinstance(entry, (NumberTable, NumberGrid)) and not row:
        return entry.title
    if isinstance(entry, NumberGrid):
        return _cell(entry, row, column)
    if not isinstance(entry, NumberTable):
        return entry_text(entry, "ip")
    for one in entry.rows:
        if show(one.by, entry.by_quantity, "ip", "nearest", entry.by_step).text == row:
            low = show(one.low, entry.quantity, "ip", "up", entry.step).value
            return f"{low} to {show(one.high, entry.quantity, 'ip', 'down', entry.step).text}"
    return f"no row {row!r}"


def _cell(grid: NumberGrid, row: str, column: str) -> str:
    """One cell of a grid as printed, with its unit, by the readings down and across."""
    block = grids.block(grid, "ip")
    units = [unit_of(kind, "ip") for kind in (grid.by_quantity, grid.across_quantity)]
    for cells in block.rows:
        for head, cell in zip(block.heads[1:], cells[1:], strict=True):
            if (f"{cells[0]} {units[0]}", f"{head} {units[1]}") == (row, column):
                return f"{cell} {unit_of(grid.quantity, 'ip')}"
    return f"no cell {row!r}, {column!r}"


def reason_seen(entry: Entry) -> str:
    """The reason that the register itself gives for an entry without an outside check."""
    if isinstance(entry, Words):
        return "words"
    if isinstance(entry, WriteIn):
        return "write-in"
    return entry.confidence
