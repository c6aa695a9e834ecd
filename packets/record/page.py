"""The completion record as its page shows it: every string final, nothing left to work out."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packets.formatting import show
from packets.model.readings import NO_FIELD
from packets.model.record import (
    AS_WRITTEN,
    PASSED,
    Action,
    Balance,
    Cylinder,
    Judged,
    LeakRate,
    Record,
    Test,
)
from packets.record.actions import ASK, OWNER, UNREAD, open_readings

DASH = "\N{EN DASH}"
STATE = {
    "closed": "CLOSED",
    "waiting": "WAITING",
    "open": "OPEN",
    "not-judged": "NOT JUDGED",
}
WORD = {
    "pass": "in",
    "out": "OUT",
    "missing": "not written",
    "not-plausible": "cannot be right",
    "not-judged": "not judged",
    "noted": "",
    "accepted": "accepted",
}


@dataclass(frozen=True)
class Line:
    """One line of a table of readings."""

    step: str
    what: str
    wrote: str
    limit: str
    verdict: str
    reason: str
    bad: bool
    do: str = ""


@dataclass(frozen=True)
class RecordPage:
    """The page's parts, in printing order."""

    record: Record
    state: str
    summary: str
    open: tuple[Line, ...]
    more_open: int
    again: str
    doubts: tuple[str, ...]
    tests: tuple[tuple[Test, str], ...]
    balance: tuple[tuple[str, tuple[tuple[str, str], ...], tuple[str, ...]], ...]
    cylinders: tuple[tuple[str, ...], ...]
    leaks: tuple[tuple[str, tuple[tuple[str, str], ...]], ...]
    readings: tuple[Line, ...]
    checks: str
    signed: tuple[tuple[str, str], ...]
    actions: tuple[Action, ...]
    keep: tuple[tuple[str, str, str], ...]
    head: tuple[tuple[tuple[str, str], ...], ...]
    unplaced: tuple[tuple[str, str], ...]
    more_unplaced: int


# Lines of a list that the page has room for; the rest stands in the JSON beside it.
_ROOM = 14


def page(record: Record) -> RecordPage:
    """The page of a record."""
    still = _open(record)
    measured, words = _measured(record)
    shown = {line.step for line in still[:_ROOM]}
    return RecordPage(
        record=record,
        state=STATE[record.state],
        summary=_summary(record),
        open=tuple(replace(one, do="") if one.do == ASK else one for one in still[:_ROOM]),
        more_open=max(0, len(still) - _ROOM),
        again=_again(still[:_ROOM]),
        doubts=_doubts(record),
        tests=tuple((test, WORD[test.verdict]) for test in record.tests),
        balance=tuple(_balance(one, record) for one in record.balances),
        cylinders=tuple(
            _cylinder(c, record, one.scale_step) for one in record.balances for c in one.cylinders
        ),
        leaks=tuple(_leak(one) for one in record.leaks),
        readings=measured,
        checks=words,
        signed=_signed(record),
        actions=_together([one for one in record.actions if one.step not in shown]),
        keep=tuple((one.what, one.until or one.keep, one.source) for one in record.keep),
        head=_head(record),
        unplaced=record.unplaced[:_ROOM],
        more_unplaced=max(0, len(record.unplaced) - _ROOM),
    )


def _head(record: Record) -> tuple[tuple[tuple[str, str], ...], ...]:
    """What the record is of, and the refrigerant record's lines, in two columns."""
    finished = f"{record.finished or DASH}"
    if record.finished_from and record.finished_from != AS_WRITTEN:
        finished += f" ({record.finished_from})"
    lines = [
        ("Job", f"{record.job}, revision {record.revision}, packet {record.packet}"),
        ("Read from", ", ".join(record.sources)),
        ("Rules", f"{record.rules_title}, as of {record.rules_as_of}"),
        ("Days counted from", finished),
        *((label, text) for label, text in record.paper if text),
    ]
    half = (len(lines) + 1) // 2
    return tuple(lines[:half]), tuple(lines[half:])


def _open(record: Record) -> list[Line]:
    """The readings that keep the job open, by step, the last of a step with what to do."""
    do = {one.step: one.what.partition(": ")[2] for one in record.actions if one.step}
    wrong = {id(one) for _, one in open_readings(record.steps) if one.verdict != "missing"}
    wrong |= {id(r) for step in record.steps for r in step.readings if r.verdict == "accepted"}
    lines: list[Line] = []
    for step in record.steps:
        own = [_line(one) for one in step.readings if id(one) in wrong]
        if own:
            own[-1] = replace(own[-1], do=do.get(step.number, ""))
        lines += own
    return lines


def _again(lines: Sequence[Line]) -> str:
    """In one sentence, the steps whose entries cannot be right: not a line of its own for each."""
    steps = [one.step for one in lines if one.do == ASK]
    return f"{_plural('Step', len(steps))} {', '.join(steps)}: {ASK}" if steps else ""


def _signed(record: Record) -> tuple[tuple[str, str], ...]:
    """Each name with the steps it stands at; first, without a name, where one is missing."""
    found: dict[str, dict[bool, list[str]]] = {}
    for one in sorted(record.signed, key=lambda one: bool(one.name)):
        found.setdefault(one.name, {}).setdefault(one.hold, []).append(one.step)
    words = {True: "hold point", False: "sign-off"}
    return tuple(
        (name, "; ".join(f"{_plural(words[hold], len(at))} {', '.join(at)}"
                         for hold, at in sorted(where.items(), reverse=True)))
        for name, where in found.items()
    )  # fmt: skip


def _together(actions: Sequence[Action]) -> tuple[Action, ...]:
    """The actions, those of the same words as one line with all their days."""
    lines: dict[tuple[str, str], Action] = {}
    for one in actions:
        old = lines.get((one.what, one.within))
        if old is not None:
            one = replace(one, due=f"{old.due}, {one.due}".strip(", "), why=f"{old.why}; {one.why}")
        lines[(one.what, one.within)] = one
    return tuple(lines.values())


def _line(one: Judged) -> Line:
    reason = one.reason.removesuffix(f": {one.limit}") if one.limit else one.reason
    told = one.fix if one.verdict == "not-plausible" else ""
    return Line(
        one.step,
        one.called + (f", try {one.attempt}" if one.attempt > 1 else ""),
        one.measured or DASH,
        one.limit or DASH,
        WORD[one.verdict],
        "; ".join(part for part in (reason, told) if part),
        one.verdict not in ("pass", "noted"),
    )


def _summary(record: Record) -> str:
    """The state in one sentence."""
    if record.state == "not-judged":
        return "What was read is kept below; the packet it belongs to is not known here."
    if record.state == "waiting":
        days = sorted({one.due for one in record.actions if one.waits and one.due})
        return f"All that can be done today is done; what is left is due {', '.join(days)}."
    if record.state == "closed":
        taken = sum(one.verdict == "accepted" for step in record.steps for one in step.readings)
        if taken:
            what = f"{taken} readings are taken as they are"
            what = "1 reading is taken as it is" if taken == 1 else what
            return f"Every step is ticked and signed; {what}, named below."
        return "Every step is ticked and signed, every reading lies in its limit."
    unread = next((one.why for one in record.actions if one.what == UNREAD), "")
    if unread.endswith(NO_FIELD):  # all that is empty would only hide the one cause
        return f"Nothing of the field packet was reviewed: {unread.removeprefix('not read: ')}."
    count = {
        word: sum(
            one.final and one.verdict == verdict for step in record.steps for one in step.readings
        )
        for verdict, word in (
            ("out", "out"),
            ("not-plausible", "that cannot be right"),
            ("not-judged", "not judged"),
            ("missing", "not written"),
        )
    }
    parts = [f"{number} {_plural('reading', number)} {word}" for word, number in count.items()
             if number]  # fmt: skip
    bare = sum(not step.ticked for step in record.steps)
    names = sum(not one.name for one in record.signed)
    failed = sum(test.verdict not in PASSED for test in record.tests)
    parts += [f"{failed} {_plural('test', failed)} not passed"] if failed else []
    parts += [f"{bare} {_plural('step', bare)} not ticked"] if bare else []
    parts += [f"{names} {_plural('name', names)} missing"] if names else []
    parts += ["refrigerant not settled"] if any(one.notes for one in record.balances) else []
    parts += ["copies not read"] if any(one.what == UNREAD for one in record.actions) else []
    parts += ["owner has not signed for the leak rate"] if _owner(record) else []
    parts += ["printed limits not proved"] if record.unproved and not record.packet_taken else []
    return f"{', '.join(parts)}."


def _owner(record: Record) -> bool:
    """Whether the owner's signature for the leak rate is outstanding."""
    return any(one.what == OWNER for one in record.actions)


def _plural(word: str, number: int) -> str:
    return word if number == 1 else f"{word}s"


def _measured(record: Record) -> tuple[tuple[Line, ...], str]:
    """The measured readings that met a limit, and in a sentence how many checks did."""
    lines, good, asked = [], 0, 0
    for step in record.steps:
        for one in step.readings:
            if not one.final or not one.limit:
                continue
            if one.unit:
                if one.verdict == "pass":
                    lines.append(_line(one))
            else:
                asked += 1
                good += one.verdict == "pass"
    ticked = sum(step.ticked for step in record.steps)
    return tuple(lines), (
        f"{good} of {asked} checks answered as asked; {ticked} of {len(record.steps)} steps ticked."
    )


def _doubts(record: Record) -> tuple[str, ...]:
    """What looks odd though its verdict stands, each kind once with its steps."""
    found: dict[str, list[str]] = {}
    for step in record.steps:
        for one in step.readings:
            if one.final and one.doubt:
                found.setdefault(one.doubt, []).append(f"{one.step} {one.text}")
    told = [f"{', '.join(where)}: {doubt}" for doubt, where in found.items()]
    told += [f"Not proved by the job's files: {one}" for one in record.unproved[:_ROOM]]
    if record.unproved and record.packet_taken:
        told.append(f"The packet is taken as it was printed: {record.packet_taken}")
    return tuple(told)


def _mass(value: float | None, record: Record, step: float) -> str:
    """A mass in the scale's own steps, with kilograms beside pounds."""
    if value is None:
        return "not known"
    text = show(value, "mass", record.units, "nearest", step).text
    if record.units == "si":
        return text
    return f"{text} ({show(value, 'mass', 'si', 'nearest').text})"


def _short(value: float | None, record: Record, step: float) -> str:
    return DASH if value is None else show(value, "mass", record.units, "nearest", step).text


def _balance(
    one: Balance, record: Record
) -> tuple[str, tuple[tuple[str, str], ...], tuple[str, ...]]:
    step = one.scale_step
    lines = (
        ("Full charge", _mass(one.full_charge, record, step)),
        ("Recovered", _mass(one.recovered, record, step)),
        ("Missing before the work", _mass(one.missing_before, record, step)),
        ("Charged", _mass(one.charged, record, step)),
        ("Net added", _mass(one.net_added, record, step)),
        ("The scale tells within", _mass(one.within, record, step)),
    )
    title = f"Circuit {one.circuit}, {one.refrigerant}"
    return title, lines, tuple(_sentence(note) for note in one.notes)


def _sentence(note: str) -> str:
    return note if note.endswith(("?", ".")) else f"{note}."


def _cylinder(one: Cylinder, record: Record, step: float) -> tuple[str, ...]:
    return (
        one.id,
        "filled" if one.use == "recovery" else "drawn from",
        _short(one.before, record, step),
        _short(one.change, record, step),
        _short(one.after, record, step),
        _short(one.gross, record, step),
        one.note,
    )


def _percent(value: float | None) -> str:
    return "not known" if value is None else f"{value * 100:.1f} % a year"


def _leak(one: LeakRate) -> tuple[str, tuple[tuple[str, str], ...]]:
    """The two methods, what triggers, and whether it did."""
    lines = [
        ("Annualizing", f"{_percent(one.annualized)}; {one.annualized_about}"),
        ("Rolling average", f"{_percent(one.rolling)}; {one.rolling_about}"),
        ("Rules", one.covered + (f"; acts above {_percent(one.trigger)}" if one.trigger else "")),
    ]
    if one.trigger is not None:
        said = {True: "ABOVE the trigger", False: "under the trigger", None: "not known"}[one.above]
        lines.append(("So", said))
    lines += [("Note", note) for note in one.notes]
    return f"Leak rate, circuit {one.circuit}", tuple(lines)
