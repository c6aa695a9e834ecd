"""The packet: everything that is printed, in printing order, with nothing left to work out.

Composing fills it, rendering only reads it. Every string is final; every field name is unique
in the packet and matches ``[a-z0-9_-]+``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from packets.model.basis import Basis
from packets.model.limits import Limit
from packets.model.numbers import Confidence, Rounding
from packets.model.sheets import CardGroup as CardGroup
from packets.model.sheets import CardLine as CardLine
from packets.model.sheets import Dispatch as Dispatch
from packets.model.sheets import LoadGroup as LoadGroup
from packets.model.sheets import LoadLine as LoadLine
from packets.model.sheets import RecordLine as RecordLine
from packets.model.sheets import TimeLine as TimeLine
from packets.model.spans import Caution as Caution
from packets.model.spans import Span as Span
from packets.model.spans import SpanKind as SpanKind
from packets.model.spans import Text as Text


@dataclass(frozen=True)
class Choice:
    """One of the words to ring; `field` is its check box."""

    field: str
    text: str
    good: bool


@dataclass(frozen=True)
class Wanted:
    """A blank is filled in only when the choice `field` of the same step says this word."""

    field: str
    says: str


@dataclass(frozen=True)
class Blank:
    """A place to write one reading. `limit_text` stands beside the box.

    For the way back: `quantity` is the kind of what is written and `step` the instrument's step in
    `unit`; `feeds` says what the reading is to the completion record, `about` which cylinder or
    joint it is of. `after` is how many seconds after the step's start it is taken; of a time of
    day, how long after the time before it at the least, and `within` at the most.
    """

    id: str
    field: str
    label: Text
    kind: Literal["number", "words", "clock", "date", "choice"]
    unit: str
    limit_text: str
    limit: Limit | None
    choices: tuple[Choice, ...] = ()
    instrument: str = ""
    # The limit stands on weaker ground than a seen source.
    mark: bool = False
    quantity: str = ""
    step: Decimal | None = None
    feeds: str = ""
    after: float = 0.0
    about: str = ""
    within: float = 0.0
    only_if: Wanted | None = None


@dataclass(frozen=True)
class SignBox:
    """A sign-off. `hold`: the work stops here until it is signed; `before`: it stands above the
    action and is signed before the step is done."""

    field: str
    text: Text
    hold: bool
    before: bool = False


@dataclass(frozen=True)
class TableBlock:
    """A computed table under a step: heads with units, rows of printed cells. The rows whose
    index is in `today` are those around the day's expected value."""

    id: str
    title: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    note: str = ""
    today: tuple[int, ...] = ()
    mark: bool = False


@dataclass(frozen=True)
class Figure:
    """A drawing as SVG of this size [mm]; title and description say it to who cannot see it."""

    id: str
    svg: str
    width_mm: float
    height_mm: float
    title: str
    description: str


@dataclass(frozen=True)
class CircuitFigure(Figure):
    """The circuit drawn for a hook-up. `caption` stands over it, its title where there is none;
    `joints` is how many joints that nitrogen is led past it is for."""

    caption: str = ""
    joints: int = 0


@dataclass(frozen=True)
class RouteBlock:
    """How nitrogen is led past the joint of a step: in, out, ends to cap, time to sweep first.

    `valves` are those to set now, `share` how much of the gas passes where it splits, `flow` that
    of the sweep; each may be empty. `vented_cap`: a cap goes on the way out after the sweep, for a
    sweep's flow would build pressure behind it.
    """

    inlet: str
    vent: str
    caps: str
    sweep: str
    valves: str = ""
    share: str = ""
    flow: str = ""
    vented_cap: bool = False


@dataclass(frozen=True)
class Step:
    """One action. `readings` has one tuple of blanks for each allowed try; `hooks_up` tells that it
    names the ports of a hook-up, so that the hook-up's drawing belongs to it."""

    id: str
    number: str
    tick: str
    action: Text
    why: Text = ()
    group_title: str = ""
    cautions: tuple[Caution, ...] = ()
    readings: tuple[tuple[Blank, ...], ...] = ()
    table: TableBlock | None = None
    route: RouteBlock | None = None
    chart: Figure | None = None
    if_out: Text = ()
    sign: SignBox | None = None
    hands_on_minutes: float = 0.0
    waiting_minutes: float = 0.0
    hooks_up: bool = False


@dataclass(frozen=True)
class Section:
    """One fragment as planned. `do_not_start` are the states it needs, in words; `worked` the ids
    of the numbers it prints, in printing order; `makes` and `ends` are the facts that it moves, by
    which a review tells what now holds; `lasting` those of `makes` that outlast the visit, and
    `proved` those that do with a proof, each with its proof in words."""

    id: str
    number: int
    title: str
    purpose: str
    called_for: str
    do_not_start: tuple[str, ...]
    steps: tuple[Step, ...]
    stop_here: Text
    fragment: str
    fragment_revision: int
    origin: str
    questions: tuple[tuple[str, str], ...] = ()
    hands_on_minutes: float = 0.0
    waiting_minutes: float = 0.0
    crew: int = 1
    figures: tuple[CircuitFigure, ...] = ()
    worked: tuple[str, ...] = ()
    circuit: str = ""
    makes: tuple[str, ...] = ()
    ends: tuple[str, ...] = ()
    lasting: tuple[str, ...] = ()
    proved: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class Worked:
    """A number as a trainer explains it. `working` is the formula with the values put in; an
    input is its name, its value, and where it comes from."""

    id: str
    label: str
    printed: str
    formula: str
    working: str
    inputs: tuple[tuple[str, str, str], ...]
    source: str
    confidence: Confidence
    assumption: str = ""
    rounding: Rounding = "nearest"


@dataclass(frozen=True)
class Packet:
    """A whole packet, all editions' material. `basis` is what a filled one is judged from."""

    job: str
    revision: int
    date: str
    equipment: str
    machine: str
    refrigerant: str
    safety_class: str
    title: str
    phone: str
    units: Literal["ip", "si"]
    rules_id: str
    rules_title: str
    rules_as_of: str
    defer: str
    hazards: tuple[str, ...]
    holds: tuple[tuple[str, str], ...]
    card: tuple[CardGroup, ...]
    sections: tuple[Section, ...]
    record: tuple[RecordLine, ...]
    notes: tuple[str, ...]
    dispatch: Dispatch
    card_chart: Figure | None = None
    basis: Basis | None = None
    hash: str = ""
    figures: tuple[CircuitFigure, ...] = ()
    worked: tuple[Worked, ...] = ()
