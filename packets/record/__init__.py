"""The completion record: what came back, what it means, what happens next, what is kept."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import Any

from packets.composing.hashing import as_data
from packets.findings import Finding, Findings, Place
from packets.judging import Judgement, clocks, entries, judge, leaks
from packets.judging.entries import NotRead, ticked
from packets.model.basis import Basis, RulesBasis
from packets.model.blanks import steps as all_steps
from packets.model.history import History
from packets.model.packet import Packet
from packets.model.readings import PACKET, Readings, Written, shown
from packets.model.record import (
    AS_WRITTEN,
    FORMAT,
    OPEN,
    PASSED,
    Action,
    Judged,
    LeakRate,
    Record,
    State,
)
from packets.record import actions

FINISHED = "service-date"
UNREAD_DAY = "could not be read"


def make(packet: Packet, readings: Readings, past: History | None, findings: Findings) -> Record:
    """Judge the readings of a packet and make its record."""
    found = judge(packet, readings)
    past = past.without(packet.job) if past else None
    day, day_from = _finished(found, findings)
    basis = packet.basis or Basis("", (), RulesBasis())
    if packet.basis is None:
        findings.warn(
            "packet-old",
            Place(readings.sources[0]),
            "the packet was printed by an older version: it carries no figures for the balance,"
            " the leak rate and the records",
            "its readings are judged; work these out by hand",
        )
    rates = tuple(
        leaks.rate(basis, circuit, balance, day, past)
        for circuit, balance in zip(basis.circuits, found.balances, strict=True)
    )
    lost = {
        circuit.circuit: leaks.lost_in_year(circuit, balance, day, past)
        for circuit, balance in zip(basis.circuits, found.balances, strict=True)
    }
    for step, one in actions.open_readings(found.steps):
        entry = readings.written.get(one.field)
        # A box that says two things has its finding already.
        if one.verdict != "missing" and not (entry and entry.others):
            findings.warn(
                f"reading-{one.verdict}",
                _place(readings, one.field),
                f"step {one.step}, {one.called}: {one.text}{_asked(one)}: {one.reason}",
                one.fix or actions.way_on(step, one),
            )
    held = actions.facts(found)
    for name, entry in _unclear(packet, readings):
        findings.warn(
            "tick-unclear",
            entry.place,
            f"{name} says {shown(entry.value)!r}",
            "write x for a tick; it counts as not ticked",
        )
    due = actions.actions(found, day, rates, lost, basis.rules)
    return _record(
        packet,
        readings,
        state=_state(found, rates, due, findings),
        finished=day.isoformat(),
        finished_from=day_from,
        steps=found.steps,
        tests=found.tests,
        signed=found.signed,
        balances=found.balances,
        leaks=rates,
        actions=due,
        keep=actions.keep(basis.rules, day),
        ask=basis.rules.ask,
        notes=basis.rules.notes if any(rate.trigger is not None for rate in rates) else (),
        facts=tuple(one.fact for one in held if not one.proof),
        held=held,
    )


def _asked(one: Judged) -> str:
    return f" ({one.limit})" if one.limit else ""


def unjudged(packet: Packet | None, readings: Readings) -> Record:
    """The record of readings that no packet stands behind: all that was read, nothing judged."""
    return _record(packet, readings, state="not-judged")


def _record(
    packet: Packet | None,
    readings: Readings,
    *,
    state: State,
    finished: str = "",
    finished_from: str = "",
    **parts: Any,
) -> Record:
    return Record(
        job=packet.job if packet else readings.job,
        revision=packet.revision if packet else 0,
        packet=packet.hash if packet else readings.packet,
        date=packet.date if packet else "",
        finished=finished,
        finished_from=finished_from,
        equipment=packet.equipment if packet else "",
        machine=packet.machine if packet else "",
        refrigerant=packet.refrigerant if packet else "",
        title=packet.title if packet else "",
        units=packet.units if packet else "ip",
        rules=packet.rules_id if packet else "",
        rules_title=packet.rules_title if packet else "",
        rules_as_of=packet.rules_as_of if packet else "",
        defer=packet.defer if packet else "",
        state=state,
        sources=tuple(_name(source) for source in readings.sources),
        paper=_paper(packet, readings),
        unplaced=_unplaced(packet, readings, judged=state != "not-judged"),
        unproved=readings.unproved,
        packet_taken=taken(readings),
        written=tuple((name, _told(one)) for name, one in sorted(readings.written.items())),
        **parts,
    )


def taken(readings: Readings) -> str:
    """Return who takes the packet as it was printed, and why; "" where nobody does."""
    return readings.accepted.get(PACKET, "")


def _name(source: str) -> str:
    """The name of a file without its folders: a record goes to people who have other ones."""
    return source.replace("\\", "/").rpartition("/")[2]


def _finished(found: Judgement, findings: Findings) -> tuple[date, str]:
    """The day the work was finished: as written on the record, else the packet's own day."""
    packet = found.sheet.packet
    said = "is not written"
    for line in packet.record:
        one = found.sheet.entry(line.field) if line.id == FINISHED else None
        if one is None:
            continue
        if (day := clocks.day(found.sheet, line.field)) is not None:
            return day, AS_WRITTEN
        said = f"{_told(one)[:40]!r} {UNREAD_DAY}"
        if not one.others:  # copies that disagree are told already
            _day_unread(one, line.label, findings)
    try:
        return date.fromisoformat(packet.date), f"the packet's day; the day finished {said}"
    except ValueError:
        return date(2000, 1, 1), "no day is known"


def _day_unread(one: Written, label: str, findings: Findings) -> None:
    """Says that the day finished is written and tells no day."""
    try:
        entries.day(shown(one.value))
    except NotRead as problem:
        findings.warn("day-unread", one.place, f"{label}: {problem}", problem.fix)


def _state(
    found: Judgement, leaks: Sequence[LeakRate], due: Sequence[Action], findings: Findings
) -> State:
    """Closed when every reading, tick, name and test is good, the refrigerant is settled, the
    rules' duties are met, every copy was read, the printed limits are proved and nothing is wrong
    with the readings files. Waiting when all that is outstanding has a date: visits and duties.
    """
    readings = found.sheet.readings
    to_come = actions.visit_steps(found)
    wrong = unready = False
    for step in found.steps:
        for one in step.readings:
            if one.final and one.verdict in OPEN:
                later = one.verdict == "missing" and step.number in to_come
                wrong, unready = wrong or not later, unready or later
        if not step.ticked:
            later = step.number in to_come
            wrong, unready = wrong or not later, unready or later
    for name in found.signed:
        if not name.name:
            later = name.step in to_come
            wrong, unready = wrong or not later, unready or later
    faulty = any(f.severity == "error" and f.place.file in readings.sources for f in findings)
    parts = (
        wrong,
        any(
            test.verdict not in PASSED
            and not (test.verdict in ("missing", "not-judged") and test.step in to_come)
            for test in found.tests
        ),
        any(one.notes for one in found.balances),
        readings.unread,
        readings.unproved and not taken(readings),
        actions.unsigned_rates(found, tuple(leaks)),
        faulty,
    )
    if any(parts):
        return "open"
    return "waiting" if unready or any(one.waits for one in due) else "closed"


def _paper(packet: Packet | None, readings: Readings) -> tuple[tuple[str, str], ...]:
    """The refrigerant record at the packet's end, line by line, as printed or written."""
    if packet is None:
        return ()
    made = []
    for line in packet.record:
        one = readings.written.get(line.field)
        made.append((line.label, line.value or (_measured(one, line.unit) if one else "")))
    return tuple(made)


def _measured(one: Written, unit: str) -> str:
    """An entry with the unit printed beside its box, where it has none of its own."""
    text = _told(one)
    bare = text.replace(".", "", 1).isdigit() and unit not in ("", "lb oz")
    return f"{text} {unit}" if bare else text


def _told(one: Written) -> str:
    """An entry, with what other copies say instead."""
    return " / ".join([shown(one.value), *(shown(value) for _, value in one.others)])


def _unplaced(
    packet: Packet | None, readings: Readings, *, judged: bool
) -> tuple[tuple[str, str], ...]:
    """Entries that stand nowhere else on the record: all of them where nothing is judged."""
    placed: set[str] = set()
    if packet is not None and judged:
        placed = {line.field for line in packet.record}
        placed |= {line.field for group in packet.dispatch.load for line in group.lines}
        for _, step in all_steps(packet):
            placed |= {step.tick, *(b.field for row in step.readings for b in row)}
            placed |= {step.sign.field} if step.sign else set()
    return tuple((name, _told(one)) for name, one in readings.written.items() if name not in placed)


def _place(readings: Readings, name: str) -> Place:
    one = readings.written.get(name)
    return one.place if one else Place(readings.sources[0])


def _unclear(packet: Packet, readings: Readings) -> list[tuple[str, Written]]:
    """Tick boxes in which something else stands than a tick."""
    found = []
    for _, step in all_steps(packet):
        one = readings.written.get(step.tick)
        if one is not None and ticked(one.value) is None:
            found.append((step.tick, one))
    return found


def as_json(record: Record, findings: Sequence[Finding]) -> dict[str, Any]:
    """The record for a program, with what was found on the way."""
    data: dict[str, Any] = as_data(record, frozenset())
    return {
        "format": FORMAT,
        **_rounded(data),
        "findings": [finding.as_json() for finding in findings],
    }


def _rounded(value: Any) -> Any:
    """Masses and rates to six digits: more than any scale tells."""
    if isinstance(value, dict):
        return {key: _rounded(item) for key, item in value.items()}
    if isinstance(value, list):
        return [_rounded(item) for item in value]
    return float(f"{value:.6g}") if isinstance(value, float) else value
