"""The refrigerant record at the end of the packet, and the notes on what governs."""

from __future__ import annotations

from collections.abc import Collection, Iterable

from packets.composing.texts import entry_text, marked
from packets.formatting import System, unit_of
from packets.model.numbers import Register, WriteIn
from packets.model.packet import RecordLine, Section
from packets.model.procedures import Rules

# Acts after which a refrigerant record has something to say of refrigerant.
MOVES = frozenset({"removes-refrigerant", "charges"})


def lines(
    rules: Rules, register: Register, units: System, circuit: str, acts: Collection[str]
) -> tuple[RecordLine, ...]:
    """The lines the rules ask for; those a number fills in carry its value. Where no refrigerant
    moves, the lines on it are left out."""
    made = []
    moves = not MOVES.isdisjoint(acts)
    for line in rules.refrigerant_record:
        if line.moved and not moves:
            continue
        entry = register.entries.get(line.from_) if line.from_ else None
        value = entry_text(entry, units) if entry is not None else ""
        unit = unit_of(line.quantity, units) if line.quantity and not value else ""
        field = f"{circuit}__record__{line.id}"
        made.append(RecordLine(field, line.label, value, unit, id=line.id, quantity=line.quantity))
    return (*made, *(leak_lines(register, units, circuit) if moves else ()))


def leak_lines(register: Register, units: System, circuit: str) -> list[RecordLine]:
    """The leak rate's worksheet, where the rules on it apply to this charge: the rate so far, what
    may be added, what passing it asks for, and how long the record is kept."""
    made = []
    for name in ("leak.rolling", "leak.most", "leak.worksheet", "leak.then", "leak.keep"):
        entry = register.entries.get(name)
        if entry is None:
            continue
        label, field = getattr(entry, "label", ""), ""
        value = entry_text(entry, units)
        if isinstance(entry, WriteIn):
            label, value = f"{label} ({entry.read})", ""
            field = f"{circuit}__record__{name.replace('.', '-')}"
        unit = unit_of(entry.quantity, units) if isinstance(entry, WriteIn) else ""
        made.append(RecordLine(field, label, value, unit, True, marked(entry)))
    return made


def notes(rules: Rules, sections: Iterable[Section], fluid: str, shipped: str) -> tuple[str, ...]:
    """What the numbers stand on and who governs, for the last page."""
    found = [
        "The nameplate and the manufacturer's instructions come before any number printed here.",
    ]
    if rules.venting:
        found.append(rules.venting)
    found += [f"Ask: {question}" for question in rules.ask]
    if fluid:
        found.append(f"Saturation: {fluid}.")
    found.append(f"Procedures: {_procedures(sections, shipped)}.")
    return tuple(found)


def _procedures(sections: Iterable[Section], shipped: str) -> str:
    """Whose procedures these are and their revisions, the same ones together."""
    groups: dict[tuple[str, int], list[str]] = {}
    for section in sections:
        groups.setdefault((section.origin, section.fragment_revision), []).append(section.fragment)
    largest = max(groups, key=lambda group: len(groups[group]), default=None)
    parts = []
    for (origin, revision), names in sorted(groups.items()):
        whose = origin if origin == shipped else f"the shop's ({origin})"
        which = f"the {len(names)} others" if (origin, revision) == largest else ", ".join(names)
        if len(groups) == 1:
            which = f"all {len(names)}"
        parts.append(f"{which} {whose}, revision {revision}")
    return "; ".join(parts)
