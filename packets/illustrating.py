"""Drawings put into a packet: the circuit once, and with each section its hook-ups.

Comes after composing, because a drawing says in lines what the packet's texts already say: the
content hash does not depend on it, and a check needs none.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, replace
from functools import partial

from packets.drawings import hookups as draw
from packets.drawings.board import Board, CannotDraw, lay_out
from packets.drawings.drawing import FULL, HALF, THIRD, Drawing, Size
from packets.drawings.grouping import grouped
from packets.drawings.hooking import NoRoom
from packets.findings import Findings, Place
from packets.model.circuits import CircuitPlan
from packets.model.hookups import Hookups, ValveSetting
from packets.model.packet import CircuitFigure, Packet, Section
from packets.model.procedures import Fragment

# What a job lacks of which a drawing was asked for and none came.
_NONE = {
    "unbraze": "no joint to unbraze",
    "braze": "no joint to make",
    "charging": "no port to charge at",
}


def illustrate(
    packet: Packet,
    fragments: Mapping[str, Fragment],
    hookups: Mapping[str, Hookups],
    place: Place,
    findings: Findings,
    burnt: Collection[str] = (),
) -> Packet:
    """The packet with its drawings; `burnt` circuits are recovered through an acid-rated drier. A
    circuit that finds no room on paper is a warning."""
    emptied = {
        one.id.partition("@")[2]
        for one in packet.sections
        if "removes-refrigerant" in fragments[one.fragment].acts
    }
    pens = {
        name: _Pen(found, name in burnt, found.recovery.valves if name in emptied else ())
        for name, found in hookups.items()
    }
    sections = []
    for section in packet.sections:
        circuit = section.id.partition("@")[2]
        wanted = fragments[section.fragment].drawings
        figures = tuple(_figures(pens[circuit], section, wanted, place, findings))
        sections.append(replace(section, figures=figures))
    first = pens[next(iter(sorted(pens)))]
    whole = tuple(_safely(lambda: iter([(first.clean(), 0)]), "circuit", place, findings))
    return replace(packet, sections=tuple(sections), figures=whole)


def _figures(
    pen: _Pen, section: Section, wanted: tuple[str, ...], place: Place, findings: Findings
) -> Iterator[CircuitFigure]:
    for kind in wanted:
        make, before = partial(pen.drawn, kind), findings.added
        drawn = _safely(make, f"{section.fragment}-{kind}", place, findings)
        if not drawn and findings.added == before and not pen.needs_none(kind):
            findings.warn(
                "nothing-to-draw",
                place,
                f"{section.fragment} asks for a drawing of {kind}, and this job has {_NONE[kind]}",
                f"take {kind} out of the fragment's drawings, or name in its remakes or unbrazes"
                " the parts of this circuit that it works on",
            )
        yield from drawn


def _safely(
    make: Callable[[], Iterator[tuple[Drawing, int]]], id: str, place: Place, findings: Findings
) -> list[CircuitFigure]:
    try:
        return [_figure(f"{id}-{at}", *one) for at, one in enumerate(make(), 1)]
    except (CannotDraw, NoRoom) as problem:
        findings.warn(
            "no-drawing",
            place,
            f"{problem}: its hook-up is printed in words only",
            "move its parts closer together on the drawing grid (at)",
        )
        return []


def _figure(id: str, one: Drawing, joints: int) -> CircuitFigure:
    size = one.width_mm, one.height_mm
    return CircuitFigure(id, one.svg, *size, one.title, one.description, one.caption, joints)


@dataclass
class _Pen:
    """Draws one circuit; each board is laid out once. `held` valves are set at recovery and left
    so."""

    hookups: Hookups
    burnt: bool
    held: tuple[ValveSetting, ...]
    boards: dict[tuple[bool, Size], Board] = field(default_factory=dict)

    def board(self, made: bool, size: Size) -> Board:
        """The circuit as found, or as made with what the work adds."""
        circuit: CircuitPlan = self.hookups.made if made else self.hookups.found
        if self.hookups.made == self.hookups.found:
            made = False
        if (made, size) not in self.boards:
            self.boards[made, size] = lay_out(circuit, size)
        return self.boards[made, size]

    def small(self, made: bool) -> Board:
        """The board for joints: a third of the page wide, or half where that is too narrow."""
        try:
            return self.board(made, THIRD)
        except CannotDraw:
            return self.board(made, HALF)

    def needs_none(self, kind: str) -> bool:
        """Whether all is well without a drawing: joints that are screwed get no gas."""
        return kind == "braze" and bool(self.hookups.braze.steps)

    def clean(self) -> Drawing:
        return draw.clean(self.board(False, FULL))

    def drawn(self, kind: str) -> Iterator[tuple[Drawing, int]]:
        """The drawings of one kind, each with how many joints it leads nitrogen past; none where
        this job has nothing of it."""
        if kind == "unbraze":
            board, steps = self.small(False), self.hookups.unbraze.steps
            for at in range(len(steps)):
                yield draw.unbraze(board, steps, at, self.hookups.cut, held=self.held), 1
        elif kind == "braze":
            yield from self._braze()
        else:
            yield from ((one, 0) for one in self._hooked(kind))

    def _hooked(self, kind: str) -> Iterator[Drawing]:
        hookups = self.hookups
        if kind == "circuit":
            yield self.clean()
        elif kind == "recovery":
            yield draw.recovery(self.board(False, HALF), hookups.recovery, self.burnt)
        elif kind == "hold":
            ports = [use.port for use in hookups.evacuation.pumped]
            yield draw.hold(self.board(True, HALF), ports, hookups.evacuation.valves)
        elif kind == "evacuation":
            yield draw.evacuation(self.board(True, HALF), hookups.evacuation)
        elif kind == "charging" and hookups.charging:
            valves = hookups.evacuation.valves
            yield draw.charging(self.board(True, HALF), hookups.charging, valves)

    def _braze(self) -> Iterator[tuple[Drawing, int]]:
        board, number = self.small(True), 1
        for steps in grouped(self.hookups.braze.steps):
            numbers = [str(number + at) for at in range(len(steps))]
            number += len(steps)
            if any(step.route for step in steps):
                yield draw.braze_group(board, steps, numbers, self.held), len(steps)
