"""What a review makes of a packet that came back: verdicts, balance, leak rate, what is due.

Plain values, settled once: the page, the JSON and the table across jobs only read them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Verdict = Literal["pass", "out", "missing", "not-plausible", "not-judged", "noted", "accepted"]
# The first key of a record's JSON file.
FORMAT = "record/1"
# The heads of the table over a folder of records, in a spreadsheet.
TABLE_HEADS = (
    "machine", "circuit", "job", "finished", "state", "readings_out",
    "readings_that_cannot_be_right", "readings_not_written",
    "net_added_kg", "full_charge_kg", "leak_rate_annualized_percent", "leak_rate_rolling_percent",
    "above_trigger", "overdue", "next_due",
)  # fmt: skip
# closed: nothing is outstanding. waiting: only dated visits and duties are. open: something is
# wrong or not known. not-judged: no packet stands behind the readings.
State = Literal["closed", "waiting", "open", "not-judged"]
# Where the day finished is from, when a person wrote it.
AS_WRITTEN = "as written"
# Those that a test is passed with.
PASSED: tuple[Verdict, ...] = ("pass", "accepted")
# The verdicts that keep a job open, worst first.
OPEN: tuple[Verdict, ...] = ("out", "not-plausible", "missing", "not-judged")


@dataclass(frozen=True)
class Judged:
    """One reading. `text` is as written; `final` is false where a later try replaced it.
    `doubt` is what looks odd though the verdict stands, `about` the cylinder or joint it is of,
    `fix` what to write where the entry itself tells."""

    step: str
    field: str
    label: str
    text: str
    unit: str
    limit: str
    verdict: Verdict
    reason: str = ""
    doubt: str = ""
    attempt: int = 1
    final: bool = True
    feeds: str = ""
    about: str = ""
    fix: str = ""

    @property
    def measured(self) -> str:
        """The entry, with the unit printed beside its box where it has none of its own."""
        bare = self.text.strip()[-1:].isdigit() and self.unit != "lb oz"
        return f"{self.text} {self.unit}" if self.unit and bare else self.text

    @property
    def called(self) -> str:
        """The label, with the cylinder or joint where the label does not name it."""
        named = not self.about or self.about in self.label
        return self.label if named else f"{self.label}, {self.about}"


@dataclass(frozen=True)
class Signed:
    """A sign-off: who, or that the name is missing."""

    step: str
    field: str
    text: str
    hold: bool
    name: str


@dataclass(frozen=True)
class StepDone:
    """A step of the packet: ticked or not, its readings, what to do where one is out."""

    number: str
    id: str
    title: str
    ticked: bool
    readings: tuple[Judged, ...]
    if_out: str = ""


@dataclass(frozen=True)
class Test:
    """A test read as a whole: hold, rise, superheat, subcooling."""

    step: str
    title: str
    answer: str
    verdict: Verdict
    reason: str


@dataclass(frozen=True)
class Cylinder:
    """A cylinder's line of the ledger, as printed; masses also in kg, None when not known."""

    id: str
    use: str
    refrigerant: str
    before: float | None
    change: float | None
    after: float | None
    gross: float | None
    note: str = ""


@dataclass(frozen=True)
class Balance:
    """Refrigerant of one circuit [kg]. `within` is what the scale can tell, `scale_step` its step;
    `notes` say where two figures of the same thing do not agree."""

    circuit: str
    refrigerant: str
    full_charge: float
    recovered: float | None
    charged: float | None
    missing_before: float | None
    net_added: float | None
    in_machine: float | None
    within: float
    scale_step: float = 0.0
    cylinders: tuple[Cylinder, ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class LeakRate:
    """Leak rate of one circuit by both methods [1/yr]; None with the reason when not known."""

    circuit: str
    covered: str
    trigger: float | None
    annualized: float | None
    annualized_about: str
    rolling: float | None
    rolling_about: str
    above: bool | None
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Action:
    """What happens next. `due` is a day (ISO) or empty where only the words say by when; `step` is
    the step whose reading calls for it, if one does. `waits`: nothing but its day stands between
    the job and closing."""

    what: str
    due: str
    within: str
    why: str
    source: str = ""
    step: str = ""
    waits: bool = False


@dataclass(frozen=True)
class Keep:
    """A record that is kept, and until when (ISO day, or empty)."""

    what: str
    until: str
    keep: str
    source: str


@dataclass(frozen=True)
class Held:
    """A fact that outlasts the visit: `by` tells the section that earned it, `proof` what must be
    so on the next visit for it to count, empty where it lasts by itself."""

    fact: str
    by: str
    proof: str = ""


@dataclass(frozen=True)
class Record:
    """The completion record of one job.

    `paper` are the lines of the refrigerant record, `unplaced` what no box of the packet holds and
    `written` every entry as it was read. `facts` are those that outlast the visit, `held` the same
    and those that take a proof, each with what shows it. `unproved` is what the job's files on disk
    do not prove of the packet, `packet_taken` who takes it as it was printed and why.
    """

    job: str
    revision: int
    packet: str
    date: str
    finished: str
    finished_from: str
    equipment: str
    machine: str
    refrigerant: str
    title: str
    units: Literal["ip", "si"]
    rules: str
    rules_title: str
    rules_as_of: str
    defer: str
    state: State
    sources: tuple[str, ...]
    steps: tuple[StepDone, ...] = ()
    tests: tuple[Test, ...] = ()
    signed: tuple[Signed, ...] = ()
    balances: tuple[Balance, ...] = ()
    leaks: tuple[LeakRate, ...] = ()
    actions: tuple[Action, ...] = ()
    keep: tuple[Keep, ...] = ()
    paper: tuple[tuple[str, str], ...] = ()
    ask: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    unplaced: tuple[tuple[str, str], ...] = ()
    facts: tuple[str, ...] = ()
    held: tuple[Held, ...] = ()
    written: tuple[tuple[str, str], ...] = ()
    unproved: tuple[str, ...] = ()
    packet_taken: str = ""
