"""One fragment as a handout for any machine: a blank for each number, and how to come by it.

What a number is called, what it is made of and where that stands is learned from the registers
of the example jobs. None of their values is taken over, save constants of a table.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from packets import circumstances
from packets.catalog import Catalog
from packets.composing.handout import ended, meanings
from packets.composing.limits import Readings
from packets.composing.sections import Chosen, Sections
from packets.composing.texts import Texts
from packets.composing.turns import Turn
from packets.composing.worked import of_entry
from packets.expressions import Value
from packets.findings import Findings
from packets.formatting import System
from packets.model.handout import Condition, Handout
from packets.model.kit import Kit
from packets.model.numbers import Entry, Number, Register, Words, WriteIn
from packets.model.packet import LoadLine, Worked
from packets.model.procedures import Fragment

TITLES = {
    "joints": "For each joint, in the packet's order",
    "part-joints": "For each joint, in the packet's order",
    "named-joints": "For each joint named in the job",
    "unbraze": "For each stub, lowest first",
    "recovery-valves": "For each valve",
    "sweep-valves": "For each valve",
    "evacuation-valves": "For each valve",
    "recovery-gauge-valves": "For each back-seating valve with a gauge port",
    "evacuation-gauge-valves": "For each back-seating valve with a gauge port",
    "micron-gauge-valves": "For the valve whose gauge port the micron gauge is on",
    "isolating-valves": "For each valve that shuts the joints off",
    "running-valves": "For each valve",
    "recovery-cores": "For each port with a core",
    "sweep-cores": "For each port with a core",
    "evacuation-cores": "For each port with a core",
    "evacuation-ports": "For each port",
    "charging-ports": "For each port",
    "charging-port": "For the charging port",
    "low-port": "For the port where the low side is read",
    "opened-ports": "For each port",
    "other-ports": "For each port that is not used here",
    "recovery-cylinders": "For each recovery cylinder",
    "charging-cylinders": "For each charging cylinder",
    "nitrogen-breaks": "For each break of the vacuum",
    "purge-cycles": "For each pressure cycle",
}
# What a repetition calls its own.
OWN = {
    "joint.name": "name of the joint",
    "joint.size": "its size",
    "joint.filler": "filler for its metals",
    "joint.flux": "flux, or none",
    "joint.metals": "its metals",
    "joint.order": "its place in the order",
    "joint.torque": "torque",
    "joint.torque_low": "lowest torque",
    "joint.torque_high": "highest torque",
    "joint.inlet": "nitrogen in at",
    "joint.vent": "out at",
    "joint.caps": "capped",
    "joint.valves": "valves to set",
    "joint.share": "share of the gas",
    "joint.sweep_time": "purge for",
    "joint.sweep_flow": "purge at",
    "cylinder.id": "mark of the cylinder",
    "cylinder.tare": "its tare",
    "cylinder.start": "weight at the start",
    "cylinder.stop": "weight to stop at",
    "cylinder.end": "weight when all is in",
    "cylinder.take": "what it gives",
    "break.number": "which of how many",
    "cycle.number": "which of how many",
    "valve.name": "name of the valve",
    "valve.state": "state to put it in",
    "valve.how": "how",
    "valve.shut": "state that shuts it",
    "valve.opened": "state that opens it",
    "port.shut": "how the port is shut",
    "port.opened": "how the port is opened",
    "port.closed": "how it is left",
    "port.name": "name of the port",
}


def for_any(
    catalog: Catalog, name: str, registers: Sequence[Register], kit: Kit, defer: str, units: System
) -> Handout:
    """The handout of a fragment with blanks."""
    fragment = catalog.library.fragments[name]
    known = _learned(registers, units)
    sections = _sections(catalog, known, kit, units)
    chosen = sections.choose(fragment, 1)
    chosen = [replace(one, number=str(at)) for at, one in enumerate(chosen, 1)]
    references = _references(catalog, fragment, chosen)
    steps = tuple(sections.step(fragment, one, chosen, references) for one in chosen)
    place = catalog.place("fragment", name, "stop_here")
    stop_here = sections.texts.fill(fragment.stop_here, place, {}, references)
    load = _load(sections, fragment)
    named = dict.fromkeys(sections.texts.trail)
    return Handout(
        fragment=name,
        revision=fragment.revision,
        origin=fragment.origin,
        title=fragment.title,
        purpose=fragment.purpose,
        units=units,
        needs=meanings(fragment.needs, catalog.library),
        makes=meanings(fragment.makes, catalog.library),
        ends=meanings(ended(fragment), catalog.library),
        load=load,
        steps=steps,
        stop_here=stop_here,
        questions=tuple((one.ask, one.answer) for one in fragment.questions),
        numbers=tuple(known.get(id) or _unknown(id) for id in named),
        defer=defer,
        conditions={
            one.number: Condition(*circumstances.in_words(one.step.when))
            for one in chosen
            if one.step.when
        },
    )


def _learned(registers: Sequence[Register], units: System) -> dict[str, Worked]:
    """How each number is come by, from the first register that has it."""
    found: dict[str, Worked] = {}
    for register in registers:
        texts = Texts(register, units, Findings())
        for entry in register:
            one = of_entry(entry, texts) or _stated(entry)
            known = found.get(entry.id)
            if known is None:
                constant = isinstance(entry, Number) and _is_constant(entry)
                found[entry.id] = one if constant else _without_values(one)
            elif known.printed and known.printed != one.printed:
                found[entry.id] = _without_values(known)
    return found


def _unknown(id: str) -> Worked:
    """A number that no example machine has: called by its id."""
    words = id.replace(".", ": ").replace("_", " ").replace("-", " ")
    return Worked(id, words, "", "", "", (), "`packets numbers` works it out for a job", "given")


def _is_constant(entry: Number) -> bool:
    """Whether a value is the same for any machine: no row was chosen for it, nothing put in."""
    return entry.formula == "as the table gives it" and not entry.working and not entry.inputs


def _stated(entry: Entry) -> Worked:
    """What stands in a file as it is, or is read on site."""
    label = entry.label if isinstance(entry, (Number, Words, WriteIn)) else entry.title
    source = "on site: " + entry.read if isinstance(entry, WriteIn) else entry.source
    return Worked(entry.id, label, "", "", "", (), source, "given")


def _without_values(one: Worked) -> Worked:
    """The same without the example machine's values, and without names that carry its figures."""
    values = [value for _, value, _ in one.inputs] + [one.printed]
    told = any(value and value in one.formula for value in values)
    inputs = tuple(
        (name, "", where.replace("circuits.a.", "equipment record, "))
        for name, _, where in one.inputs
        if not any(letter.isdigit() for letter in name)
    )
    return replace(
        one,
        printed="",
        working="",
        assumption="",
        inputs=inputs,
        formula="" if told else one.formula,
    )


def _sections(catalog: Catalog, known: Mapping[str, Worked], kit: Kit, units: System) -> Sections:
    """Makes steps in which every number is a blank."""
    scratch = Findings()  # what a job would be told of is of no use here
    texts = Texts(Register(_Blanks(known)), units, scratch)
    readings = Readings(texts, kit, scratch)
    return _Sections(catalog, "any", {}, None, texts, readings, None, scratch)


class _Blanks(dict[str, Entry]):
    """Entries of a register in which every number there can be is read on site."""

    def __init__(self, known: Mapping[str, Worked]) -> None:
        super().__init__()
        self.known = known

    def get(self, id: str, default: object = None) -> Entry:
        """The blank of a number; one that no example machine has is called by its id."""
        if id not in self:
            label = (self.known.get(id) or _unknown(id)).label
            self[id] = WriteIn(id, label, "", label)
        return self[id]


@dataclass
class _Sections(Sections):
    """All steps, whatever they depend on; a group once."""

    def turns(self, what: str) -> list[Turn]:
        """One repetition that stands for all."""
        own = {id: WriteIn(id, words, "", words) for id, words in OWN.items()}
        return [Turn("each", TITLES[what], own)]

    def holds(
        self, when: str, *where: str | int, more: Mapping[str, Value | None] | None = None
    ) -> bool:
        """Everything is printed."""
        return True


def _references(catalog: Catalog, fragment: Fragment, chosen: Iterable[Chosen]) -> dict[str, str]:
    """Own steps by their number, those of other fragments by their title."""
    found = {}
    for other in catalog.library.fragments.values():
        for step in (s for outer in other.steps for s in (outer, *outer.steps) if s.id):
            found[f"{other.fragment}/{step.id}"] = f"“{other.title}”"
    for one in chosen:
        found[f"{fragment.fragment}/{one.step.id}"] = one.number
    return found


def _load(sections: Sections, fragment: Fragment) -> tuple[LoadLine, ...]:
    """Tools and materials by name; amounts depend on the machine."""
    lines = []
    for kind, loads in (("tools", fragment.tools), ("materials", fragment.materials)):
        for at, one in enumerate(loads):
            place = sections.catalog.place("fragment", fragment.fragment, kind, at)
            spans = sections.texts.fill(one.item, place, {}, {})
            item = "".join("____" if span.kind == "blank" else span.text for span in spans)
            amount = "as much as the machine asks" if one.amount else ""
            amount = "as many as the job asks" if one.count_by else amount
            lines.append(LoadLine("", item, amount, (), max(one.count, 1)))
    return tuple(lines)
