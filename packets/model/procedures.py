"""Standard work: facts, acts, work items, fragments, cautions, rules and circuits, as loaded."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from packets.model.circuits import CircuitPlan as CircuitPlan
from packets.model.rules import Certificate as Certificate
from packets.model.rules import Deadline as Deadline
from packets.model.rules import FireWatch as FireWatch
from packets.model.rules import HoldTestRule as HoldTestRule
from packets.model.rules import LeakCheck as LeakCheck
from packets.model.rules import LeakRateRule as LeakRateRule
from packets.model.rules import RecordField as RecordField
from packets.model.rules import RecordRule as RecordRule
from packets.model.rules import RecoveryRule as RecoveryRule
from packets.model.rules import Rules as Rules


@dataclass(frozen=True)
class Fact:
    scope: str
    meaning: str
    short: str = ""
    leave: bool = False
    recheck: bool = False
    lasts: Literal["lasting", "proved", "said", "passing"] = "passing"
    proved_by: str = ""
    proof: str = ""


@dataclass(frozen=True)
class Change:
    """What a word in the job, or a feature of the machine, changes in the start facts. `keeps`
    are true and stay so: nothing on such a machine can end them."""

    clears: tuple[str, ...] = ()
    sets: tuple[str, ...] = ()
    keeps: tuple[str, ...] = ()


@dataclass(frozen=True)
class Facts:
    facts: dict[str, Fact]
    start: tuple[str, ...]
    now: dict[str, dict[str, Change]]
    equipment: dict[str, Change]


@dataclass(frozen=True)
class Act:
    meaning: str
    requires: tuple[str, ...]
    loses: tuple[str, ...]
    gives: tuple[str, ...] = ()
    sees: tuple[str, ...] = ()


@dataclass(frozen=True)
class Acts:
    acts: dict[str, Act]
    apart: tuple[tuple[str, ...], ...]


@dataclass(frozen=True)
class WorkItem:
    title: str
    clears: tuple[str, ...]
    waives: tuple[str, ...] = ()
    parts: tuple[str, ...] = ()
    fills_waits: bool = False


@dataclass(frozen=True)
class Load:
    """A thing to load: how many (`count`, or `count_by` a circumstance that counts) or the number
    that says how much (`amount`). One that is `rated` prints the class that a flammable refrigerant
    asks of it."""

    item: str
    place: str
    count: int = 0
    count_by: str = ""
    amount: str = ""
    when: str = ""
    rated: bool = False


@dataclass(frozen=True)
class LimitSpec:
    """A limit as the author wrote it: number ids, not values."""

    at_most: str = ""
    at_least: str = ""
    rows: str = ""
    by: str = ""
    choice: tuple[str, ...] = ()
    good: tuple[str, ...] = ()
    write_in: str = ""


@dataclass(frozen=True)
class OnlyIf:
    """Another reading of the step, and the ringed word with which this one is wanted."""

    reading: str
    says: str


@dataclass(frozen=True)
class Reading:
    id: str
    label: str
    quantity: str = ""
    kind: str = ""
    with_: str = ""
    when: str = ""
    for_each: str = ""
    limit: LimitSpec | None = None
    feeds: str = ""
    after: str = ""
    within: str = ""
    only_if: OnlyIf | None = None


@dataclass(frozen=True)
class Minutes:
    """Minutes, or the id of a time."""

    hands_on: float | str = 0
    waiting: float | str = 0


@dataclass(frozen=True)
class Step:
    """One action; or, with `for_each`, a group of steps repeated whole."""

    id: str = ""
    action: str = ""
    again: str = ""
    why: str = ""
    when: str = ""
    caution: tuple[str, ...] = ()
    readings: tuple[Reading, ...] = ()
    table: str = ""
    route: str = ""
    chart: str = ""
    hold: str = ""
    hold_before: str = ""
    sign: str = ""
    if_out: str = ""
    tries: int = 1
    minutes: Minutes = Minutes()
    group: str = ""
    for_each: str = ""
    steps: tuple[Step, ...] = ()


@dataclass(frozen=True)
class Question:
    ask: str
    answer: str


@dataclass(frozen=True)
class AddedPart:
    """A part that the work adds to a circuit that has none: `before` is the port whose line it
    goes into."""

    part: str
    kind: str
    before: str


@dataclass(frozen=True)
class FillsWaits:
    """Work that may be done in another section's wait, but not beside these acts."""

    not_beside: tuple[str, ...]


@dataclass(frozen=True)
class Fragment:
    fragment: str
    title: str
    revision: int
    purpose: str
    prefer: int
    scope: str
    needs: tuple[str, ...]
    makes: tuple[str, ...]
    ends: tuple[str, ...]
    stop_here: str
    steps: tuple[Step, ...]
    acts: tuple[str, ...] = ()
    remakes: tuple[str, ...] = ()
    adds: tuple[AddedPart, ...] = ()
    unbrazes: tuple[str, ...] = ()
    drawings: tuple[str, ...] = ()
    remakes_joints: tuple[str, ...] = ()
    only_for: tuple[str, ...] = ()
    tools: tuple[Load, ...] = ()
    materials: tuple[Load, ...] = ()
    questions: tuple[Question, ...] = ()
    crew: int = 1
    fills_waits: FillsWaits | None = None
    replaces: int = 0
    origin: str = ""


@dataclass(frozen=True)
class Caution:
    signal: str
    hazard: str
    consequence: str
    avoidance: str
    defer_to: str
    decides: int = 0
    when: str = ""


@dataclass(frozen=True)
class Cautions:
    defer: str
    cautions: dict[str, Caution]


@dataclass(frozen=True)
class CardEntry:
    number: str
    label: str = ""
    always: bool = False
    along_with: str = ""


@dataclass(frozen=True)
class CardTitle:
    title: str
    lines: tuple[CardEntry, ...]
    sheet: Literal["field", "dispatch"] = "field"


@dataclass(frozen=True)
class Card:
    """Which numbers stand on page 1, under which headings."""

    groups: tuple[CardTitle, ...]
    chart: str = ""


@dataclass(frozen=True)
class Library:
    """All the standard work a job is planned from."""

    facts: Facts
    acts: Acts
    work: dict[str, WorkItem]
    fragments: dict[str, Fragment]
    cautions: Cautions
    card: Card
    circuits: dict[str, CircuitPlan] = field(default_factory=dict)
    rules: dict[str, Rules] = field(default_factory=dict)
