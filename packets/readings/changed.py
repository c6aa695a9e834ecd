"""What differs between a printed packet and the one that its job makes today."""

from __future__ import annotations

from dataclasses import fields

from packets.model.packet import Packet

# What the reader of a finding can look at; the longest list of names in it.
_NAMED = 4
_HEAD = ("title", "machine", "equipment", "refrigerant", "date", "revision", "rules_id",
         "rules_as_of", "phone")  # fmt: skip
_HEAD_WORDS = {"rules_id": "rules", "rules_as_of": "day of the rules", "revision": "job's revision"}


def what(printed: Packet, today: Packet) -> str:
    """The parts that differ, named by what they come from; "" where that cannot be told."""
    head = [
        _HEAD_WORDS.get(name, name)
        for name in _HEAD
        if getattr(printed, name) != getattr(today, name)
    ]
    told = [*_circuits(printed, today), *_sections(printed, today)]
    if head:
        told.insert(0, f"the packet's head ({', '.join(head)})")
    return "; ".join(told)


def _circuits(printed: Packet, today: Packet) -> list[str]:
    """Figures of the equipment and kit records that a filled packet is judged by."""
    one, other = (
        {c.circuit: c for c in packet.basis.circuits} if packet.basis else {}
        for packet in (printed, today)
    )
    told = []
    for name in sorted(one.keys() & other.keys()):
        apart = [
            part.name.replace("_", " ")
            for part in fields(one[name])
            if getattr(one[name], part.name) != getattr(other[name], part.name)
        ]
        if apart:
            told.append(f"figures of circuit {name} from its records ({_few(apart)})")
    return told


def _sections(printed: Packet, today: Packet) -> list[str]:
    """Procedures that came, went or have another revision."""
    one, other = (
        {section.id: (section.fragment, section.fragment_revision) for section in packet.sections}
        for packet in (printed, today)
    )
    names = [
        *[f"{name} is new" for name in other if name not in one],
        *[f"{name} is gone" for name in one if name not in other],
        *[f"{name} is revised" for name in one if name in other and one[name] != other[name]],
    ]
    return [f"the procedures ({_few(names)})"] if names else []


def _few(names: list[str]) -> str:
    more = len(names) - _NAMED
    return ", ".join(names[:_NAMED]) + (f" and {more} more" if more > 0 else "")
