"""One fragment as a handout, taken from a job's packet: that machine's numbers stand in it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import fields, is_dataclass

from packets.model.handout import Handout
from packets.model.packet import Packet, Section, Span
from packets.model.procedures import Fragment, Library


def of_job(packet: Packet, library: Library, fragment: str) -> Handout | None:
    """The handout of a fragment as the packet plans it; None when it is not in the packet."""
    section = next((one for one in packet.sections if one.fragment == fragment), None)
    if section is None:
        return None
    held = library.fragments[fragment]
    known = {one.id: one for one in packet.worked}
    lines = (line for group in packet.dispatch.load for line in group.lines)
    return Handout(
        fragment=fragment,
        revision=section.fragment_revision,
        origin=section.origin,
        title=section.title,
        purpose=section.purpose,
        units=packet.units,
        needs=meanings(held.needs, library),
        makes=meanings(held.makes, library),
        ends=meanings(ended(held), library),
        load=tuple(line for line in lines if section.number in line.sections),
        steps=section.steps,
        stop_here=section.stop_here,
        questions=section.questions,
        numbers=tuple(known[id] for id in section.worked if id in known),
        defer=packet.defer,
        machine=f"{packet.equipment}, {packet.machine}, {packet.refrigerant}",
        job=packet.job,
        hash=packet.hash,
        elsewhere=_elsewhere(section, packet.sections),
    )


def meanings(facts: Iterable[str], library: Library) -> tuple[str, ...]:
    """Facts in words."""
    return tuple(library.facts.facts[name].meaning for name in facts)


def ended(fragment: Fragment) -> list[str]:
    """The facts that no longer hold afterwards; one that is made again is no loss."""
    return [name for name in fragment.ends if name not in fragment.makes]


def _elsewhere(section: Section, sections: Iterable[Section]) -> tuple[tuple[str, str], ...]:
    """Steps of other sections that this one leads to, with the title of their section."""
    titles = {str(one.number): one.title for one in sections}
    own = {step.number for step in section.steps}
    named = {span.text for span in _spans(section) if span.kind == "step"} - own
    order = sorted(named, key=lambda number: [int(part) for part in number.split(".")])
    return tuple((number, titles[number.partition(".")[0]]) for number in order)


def _spans(value: object) -> Iterator[Span]:
    """Every span inside a value."""
    if isinstance(value, Span):
        yield value
    elif isinstance(value, tuple):
        for item in value:
            yield from _spans(item)
    elif is_dataclass(value):
        for one in fields(value):
            yield from _spans(getattr(value, one.name))
