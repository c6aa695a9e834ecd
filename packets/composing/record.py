"""The refrigerant record at the end of the packet, and the notes on what governs."""

from __future__ import annotations

from collections.abc import Iterable

from packets.composing.texts import entry_text
from packets.formatting import System, unit_of
from packets.model.numbers import Register
from packets.model.packet import RecordLine, Section
from packets.model.procedures import Rules


def lines(rules: Rules, register: Register, units: System, circuit: str) -> tuple[RecordLine, ...]:
    """The lines the rules ask for; those a number fills in carry its value."""
    made = []
    for line in rules.refrigerant_record:
        entry = register.entries.get(line.from_) if line.from_ else None
        value = entry_text(entry, units) if entry is not None else ""
        unit = unit_of(line.quantity, units) if line.quantity else ""
        made.append(RecordLine(f"{circuit}__record__{line.id}", line.label, value, unit))
    return tuple(made)


def notes(rules: Rules, sections: Iterable[Section], fluid: str, shipped: str) -> tuple[str, ...]:
    """What the numbers stand on and who governs, for the last page."""
    found = [
        "The nameplate and the manufacturer's instructions come before any number printed here.",
    ]
    if rules.venting:
        found.append(rules.venting)
    if fluid:
        found.append(f"Saturation: {fluid}.")
    others: dict[str, list[str]] = {}
    for section in sections:
        if section.origin != shipped:
            others.setdefault(section.origin, []).append(section.title)
    for origin, titles in sorted(others.items()):
        found.append(f"Written by the shop ({origin}): {', '.join(titles)}.")
    return tuple(found)
