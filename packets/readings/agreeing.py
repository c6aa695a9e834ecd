"""Several copies of one packet as one: entries are compared by what they mean in their box."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace

from packets.findings import Findings
from packets.judging import entries
from packets.judging.entries import NotRead
from packets.model.blanks import blanks
from packets.model.packet import Packet
from packets.model.readings import Readings, Value, Written, same, shown

# How an entry of one box is read: a value to compare, or NotRead.
Read = Callable[[str], object]
# A reading that one copy gives in another unit differs in the last digits of the conversion.
_SAME = 1e-6


def merged(copies: list[Readings], findings: Findings, packet: Packet | None = None) -> Readings:
    """Several copies of one packet as one. Where they disagree no entry is believed; without the
    packet, entries are compared as text."""
    first = copies[0]
    read = _readers(packet) if packet is not None else {}
    written = dict(first.written)
    apart: dict[str, Written] = {}
    for copy in copies[1:]:
        for name, one in copy.written.items():
            old = written.get(name)
            if old is None:
                written[name] = one
                continue
            others = list(one.others)
            if not _agree(old.value, one.value, read.get(name)):
                others.insert(0, (one.source, one.value))
                apart.setdefault(name, one)
            if others:
                written[name] = replace(old, others=(*old.others, *others))
    for name, one in apart.items():
        said = ((written[name].source, written[name].value), *written[name].others)
        findings.error(
            "copies-disagree",
            one.place,
            f"{name}: " + ", ".join(f"{source} says {shown(value)!r}" for source, value in said),
            "look at the paper, or ask who read it, and correct one copy; neither is judged",
        )
    forms = {copy.form for copy in copies}
    return Readings(
        first.job,
        first.packet,
        first.form if len(forms) == 1 else "several",
        tuple(source for copy in copies for source in copy.sources),
        written,
        frozenset().union(*(copy.fields for copy in copies)),
        {name: why for copy in copies for name, why in copy.accepted.items()},
    )


def _readers(packet: Packet) -> dict[str, Read]:
    """Of every box that asks for a number, a time or a day: how its entry is read."""
    found: dict[str, Read] = {}
    for *_, blank in blanks(packet):
        if blank.kind == "clock":
            found[blank.field] = entries.clock
        elif blank.kind == "date":
            found[blank.field] = entries.day
        elif blank.quantity and not blank.choices:
            found[blank.field] = _number(blank.quantity, blank.unit)
    for line in packet.record:
        if line.quantity:
            found[line.field] = _number(line.quantity, line.unit)
    return found


def _number(quantity: str, unit: str) -> Read:
    return lambda text: float(entries.number(text, quantity, unit))


def _agree(one: Value, other: Value, read: Read | None) -> bool:
    """Whether two entries of a box mean the same; what cannot be read is compared as text."""
    if same(one, other):
        return True
    if read is None or isinstance(one, bool) or isinstance(other, bool):
        return False
    try:
        left, right = read(one), read(other)
    except NotRead:
        return False
    if isinstance(left, float) and isinstance(right, float):
        return abs(left - right) <= _SAME * max(abs(left), abs(right))
    return left == right
