"""The register: every value a packet may print, by id, and where each comes from.

Five kinds of entry. `Number` is computed. `Words` is a text from the files (a cylinder's mark).
`WriteIn` is read on site, because only the site can tell. `NumberTable` is a computed table,
entered with one reading, `NumberGrid` one entered with two.
What is in none of them is absent, and naming it is a finding.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Literal

Confidence = Literal["seen", "secondary", "computed", "memory", "practice", "given"]
Rounding = Literal["up", "down", "nearest"]

# In falling order: what is given on the nameplate or by the manager, then what was seen in a
# source, then the rest. A number is no surer than the weakest of what it stands on.
ORDER: tuple[Confidence, ...] = ("given", "seen", "computed", "secondary", "memory", "practice")


def weakest(*confidences: Confidence) -> Confidence:
    """The least sure of several."""
    return max(confidences, key=ORDER.index)


@dataclass(frozen=True)
class Input:
    """One input of a number: name, value as printed, where it comes from."""

    name: str
    value: str
    where: str


@dataclass(frozen=True)
class Number:
    """A computed value in SI, with its reasoning. `step` is the instrument's step in SI, by which
    the printed value is rounded; 0 for the unit's usual decimals. `to` names the instrument."""

    id: str
    label: str
    quantity: str
    value: float
    round: Rounding
    formula: str
    working: str
    inputs: tuple[Input, ...]
    source: str
    confidence: Confidence
    step: float = 0.0
    to: str = ""
    assumption: str = ""
    # Printed instead of value and unit where a plain number would mislead, e.g. a range.
    unit: str = ""


@dataclass(frozen=True)
class Words:
    """A text from the job's files."""

    id: str
    label: str
    text: str
    source: str


@dataclass(frozen=True)
class WriteIn:
    """A value that only the site can tell: what to read, and why it is not known here."""

    id: str
    label: str
    quantity: str
    read: str


@dataclass(frozen=True)
class TableRow:
    """Values in SI: the entry (`by`), the low and high ends of the band, and the target."""

    by: float
    low: float
    high: float
    target: float | None = None


@dataclass(frozen=True)
class NumberTable:
    """A computed table, entered with one reading, that gives a band for another."""

    id: str
    title: str
    by_label: str
    by_quantity: str
    by_step: float
    label: str
    quantity: str
    step: float
    rows: tuple[TableRow, ...]
    target_label: str
    target_round: Rounding
    formula: str
    inputs: tuple[Input, ...]
    source: str
    confidence: Confidence
    note: str = ""
    # The day's expected entry, around which the rows are marked.
    today: float | None = None
    # Between two rows the band runs straight; else the stricter row holds.
    straight: bool = False


Cell = tuple[float, float] | None


@dataclass(frozen=True)
class NumberGrid:
    """A computed table entered with two readings, `by` down and `across` over it. A cell holds
    the low and the high end in SI, twice the same for a single value, None where none holds."""

    id: str
    title: str
    by_label: str
    by_quantity: str
    by: tuple[float, ...]
    across_label: str
    across_quantity: str
    across: tuple[float, ...]
    quantity: str
    cells: tuple[tuple[Cell, ...], ...]
    formula: str
    inputs: tuple[Input, ...]
    source: str
    confidence: Confidence
    step: float = 0.0
    by_step: float = 0.0
    note: str = ""


Entry = Number | Words | WriteIn | NumberTable | NumberGrid


@dataclass(frozen=True)
class Waiting:
    """A number that could not be computed, the key that is missing, and where it belongs."""

    number: str
    key: str
    why: str


@dataclass
class Register:
    """All entries of one circuit of a job, by id, and the numbers that wait for an input."""

    entries: dict[str, Entry] = field(default_factory=dict)
    waiting: dict[str, Waiting] = field(default_factory=dict)
    # A subject stopped at an impossible input: what it would have made is missing, not unknown.
    broken: bool = False

    def add(self, entry: Entry) -> None:
        """Add an entry; an id stands once."""
        if entry.id in self.entries:
            raise ValueError(f"number {entry.id} stands twice")
        self.entries[entry.id] = entry

    def wait(self, number: str, key: str, why: str) -> None:
        """Note that `number` waits for `key`."""
        self.waiting[number] = Waiting(number, key, why)

    def number(self, name: str) -> Number | None:
        """The computed number of that id, if it is one."""
        entry = self.entries.get(name)
        return entry if isinstance(entry, Number) else None

    def __contains__(self, name: object) -> bool:
        return name in self.entries

    def __iter__(self) -> Iterator[Entry]:
        return iter(self.entries.values())
