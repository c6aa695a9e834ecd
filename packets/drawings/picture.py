"""The circuit of one drawing and what is done to it: route, caps, vents, rings, and its words."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple

from packets.circuit import names
from packets.drawings import svg, trail
from packets.drawings.board import Board
from packets.drawings.gear import Gear
from packets.drawings.geometry import (
    EAST,
    NORTH,
    SOUTH,
    WEST,
    Box,
    Node,
    Point,
    around,
    corners,
    edges,
    floats,
    straightened,
)
from packets.drawings.labels import Label, Words
from packets.drawings.routing import nodes_in
from packets.drawings.shapes import WHITE, Round
from packets.drawings.sheet import HEAVY, STRONG, SYMBOL, THIN, Sheet
from packets.model.hookups import End, Leg, PortUse

DASH = "1.1 0.9"
LANE = 7  # lattice steps before a hose's end that words leave free
_ARROW = 2.4  # lattice steps that an arrow in or out is long
_CLEAR = 1.6  # lattice steps from a ringed joint to the next arrow head

Mouth = tuple[Node, Node]  # where a hose goes on, and which way that looks


class Arrow(NamedTuple):
    """An arrow in or out: what it covers, its outer end, and which way that lies."""

    box: Box
    tail: Box
    out: Node


@dataclass
class Picture:
    """One drawing on a board. `gone` parts are dashed, `opened` ends stand open.

    `wanted` words and `gears` with their mouths and flow are placed when all else is drawn.
    """

    board: Board
    gone: Collection[str] = ()
    opened: Collection[tuple[str, str]] = ()
    heavy: set[str] = field(default_factory=set)
    wanted: list[Label] = field(default_factory=list)
    lanes: list[Box] = field(default_factory=list)
    gears: list[tuple[Gear, tuple[Mouth, ...], str]] = field(default_factory=list)

    def __post_init__(self) -> None:
        """A fresh sheet."""
        self.sheet = Sheet.of(self.board)

    @classmethod
    def of(cls, board: Board, gone: Collection[str] = (), ends: Iterable[End] = ()) -> Picture:
        """A picture with parts away and ends open."""
        opened = {
            (end.joint, end.owner if end.owner != "stub" else end.joint.partition(".")[0])
            for end in ends
        }
        return cls(board, frozenset(gone), opened)

    # ---- the circuit

    def circuit(self) -> None:
        """Lines, parts and service ports."""
        self.lines()
        self.symbols()
        self.taps()

    def lines(self, arrows: bool = False) -> None:
        """Every line thin, with a gap where its joint stands open."""
        for name in self.board.circuit.lines:
            nodes = trail.of_line(self.board, name, self.opened)
            self.sheet.runs.append((name, self.board.ways[name]))
            self.sheet.stroke("line", "line", nodes, THIN)
            if arrows:
                for spot, look in trail.arrows(floats(corners(nodes)), 99.0):
                    self.sheet.arrow(spot, look, 0.4, "line")

    def symbols(self) -> None:
        """Every part with its stubs; those on the way of the gas heavy, those away dashed."""
        for name, placed in self.board.placed.items():
            dash = DASH if name in self.gone else ""
            heavy = name in self.heavy and not dash
            weight = self.sheet.weight(STRONG) if heavy else SYMBOL
            pieces = [
                svg.stroke([self.sheet.at(point) for point in stub], "stub", THIN, dash=dash)
                for stub in trail.stubs(self.board, name)
            ]
            for one in placed.shape.marks:
                drawn = [one.at] if isinstance(one, Round) else one.points
                turned = [placed.pose.point(point) for point in drawn]
                shown = [self.sheet.at((x + placed.at[0], y + placed.at[1])) for x, y in turned]
                pieces.append(svg.mark(one, shown, self.sheet.pitch, weight, dash))
            self.sheet.put("symbol", svg.group("symbol", pieces))

    def taps(self) -> None:
        """Every service port: a branch with a cap."""
        for tap in self.board.taps.values():
            if tap.element in self.gone:
                continue
            x, y = tap.mouth
            along = 0.17 if tap.mouth[0] != tap.at[0] else 0.32
            cap = self.sheet.box(Box(x - along, y - (0.49 - along), x + along, y + 0.49 - along))
            pieces = [
                svg.stroke([self.sheet.at(tap.at), self.sheet.at(tap.mouth)], "stem", SYMBOL),
                svg.shape(edges(cap), "port"),
            ]
            self.sheet.put("mark", svg.group("tap", pieces))

    def covers(self, part: str, node: Node) -> bool:
        """Whether a part's symbol lies over a place."""
        return node in nodes_in(self.board.placed[part].body.grown(0.5))

    def clear(self, part: str) -> None:
        """Let hoses run where a part was taken out."""
        for node in nodes_in(self.board.placed[part].body.grown(0.5)):
            self.sheet.ground.shut.discard(node)

    # ---- the gas

    def route(
        self,
        legs: Sequence[Leg],
        ringed: Collection[str] = (),
        weight: float = HEAVY,
        head: float = 0.72,
    ) -> None:
        """The way of the gas, with arrow heads clear of the joints that get a ring."""
        rings = [self.board.joints[joint].at for joint in ringed]
        for leg in legs:
            if leg.element in self.board.circuit.parts:
                self.heavy.add(leg.element)
            for points in trail.of_leg(self.board, leg, self.opened):
                self.sheet.stroke("route", "route", points, self.sheet.weight(weight))
                nodes = tuple((round(x), round(y)) for x, y in points)
                self.sheet.runs.append(("route", nodes))
                if leg.element in self.board.circuit.parts:
                    continue
                for (x, y), look in trail.arrows(straightened(points)):
                    if all(abs(x - a) + abs(y - b) > _CLEAR for a, b in rings):
                        self.sheet.arrow((x, y), look, head, "route")

    # ---- open ends

    def cap(self, end: End, fill: str) -> Box:
        """A plug on an open end: black for the route, white when it just stays on."""
        box = self.end_box(end)
        drawn = svg.stroke(edges(box), "cap", SYMBOL, closed=True, fill=fill)
        self.sheet.put("mark", drawn)
        self.sheet.take(box)
        return box

    def end_box(self, end: End) -> Box:
        """What the plug of an open end covers."""
        (x, y), (a, b) = trail.end_of(self.board, end)
        over = around([(x, y), (x - a * 0.42, y - b * 0.42)])
        aside = (0.0, 0.58) if a else (0.58, 0.0)
        left, top, right, bottom = over
        return self.sheet.box(
            Box(left - aside[0], top - aside[1], right + aside[0], bottom + aside[1])
        )

    def arrow_at(self, port: str, inward: bool = False) -> Arrow:
        """An arrow straight out of a service port, or into it."""
        mouth, look = self.board.mouth(port)
        return self._arrow(mouth, look, mouth, inward)

    def arrow_beside(self, end: End, inward: bool = False) -> Arrow:
        """An arrow out of an open end, or into it, on the side where there is most room."""
        at, look = trail.end_of(self.board, end)
        start = (at[0] + look[0] * 0.5, at[1] + look[1] * 0.5)
        ways = [(look[1], look[0]), (-look[1], -look[0])]
        out = min(ways, key=lambda way: self.crowd(start, way))
        return self._arrow(start, out, at, inward)

    def _arrow(self, start: Point, out: Node, at: Point, inward: bool) -> Arrow:
        """An arrow from a place outwards, or to it, joined to the end it belongs to."""

        def along(far: float) -> Point:
            return start[0] + out[0] * far, start[1] + out[1] * far

        shaft = [along(_ARROW), along(1.2)] if inward else [at, start, along(1.4)]
        points = [self.sheet.at(point) for point in dict.fromkeys(shaft)]
        kind = "inlet" if inward else "vent"
        self.sheet.put("mark", svg.stroke(points, kind, self.sheet.weight(HEAVY)))
        if inward:
            self.sheet.arrow(along(1.1), (-out[0], -out[1]), 0.75)
        else:
            self.sheet.arrow(along(1.7), out, 0.75)
        box = self.sheet.box(around([start, along(_ARROW)]).grown(0.4))
        self.sheet.take(box)
        x, y = round(at[0]), round(at[1])
        self.sheet.ground.shut.update((x + out[0] * far, y + out[1] * far) for far in range(4))
        return Arrow(box, self.sheet.box(around([along(1.4), along(_ARROW)]).grown(0.4)), out)

    def crowd(self, start: Point, way: Node) -> int:
        """How little room there is beside an end: on the paper, for an arrow, for words beyond; of
        as much room, whether the drawing gets higher."""
        x, y = start
        near = (x + way[0] * 0.5, y + way[1] * 0.5)
        arrow = around([near, (x + way[0] * 2.4, y + way[1] * 2.4)]).grown(0.4)
        far = _ARROW + (4.0 if self.board.size.spare else 6.0)
        beyond = around([near, (x + way[0] * far, y + way[1] * far)]).grown(0.4)
        free, box = self.sheet.taken.free, self.sheet.box(arrow)
        if self.board.size.spare:
            # Nothing but its word tells what the arrow is.
            box = self.sheet.box(beyond)
        off = box.left < 0 or box.right > self.board.size.width_mm
        top, foot = self.board.reach
        ahead = self.sheet.box(beyond)
        higher = ahead.top < top or ahead.bottom > foot
        return 8 * off + 4 * (not free(box)) + 2 * (not free(ahead)) + higher

    def shut(self, node: Node, way: Node) -> int:
        """How many of the next steps a hose cannot take."""
        steps = [(node[0] + way[0] * far, node[1] + way[1] * far) for far in (1, 2, 3)]
        return sum(step in self.sheet.ground.shut for step in steps)

    def ring(self, joint: str, number: str) -> None:
        """A ring round the joint being made, with its number in a black disc."""
        centre, radius = self.sheet.at(self.board.joints[joint].at), 0.8 * self.sheet.pitch
        self.sheet.put("mark", svg.circle(centre, radius, "ring", 0.6, WHITE))
        box = around([centre]).grown(radius + 0.3)
        self.sheet.take(box)
        self.wanted.append(Label(((number, True),), box, rank=99, badge=True))

    # ---- what is placed last

    def gear(self, gear: Gear, mouths: Sequence[Mouth], flow: str = "") -> None:
        """Equipment to be joined to some places; `flow` is "in" or "out" of the circuit."""
        for (x, y), (a, b) in mouths:
            lane = around([(x, y), (x + LANE * a, y + LANE * b)]).grown(0.65)
            self.lanes.append(self.sheet.box(lane))
        self.gears.append((gear, tuple(mouths), flow))

    def name(self, part: str, needed: bool, *more: tuple[str, bool], bold: bool = False) -> None:
        """A part's name beside it, and under it what else is said of it, which stands alone where
        there is no room for both."""
        words: Words = ((names.part(self.board.circuit, part), bold), *more)
        self.say_of(part, words, needed, more)

    def say_of(self, part: str, words: Words, needed: bool = True, brief: Words = ()) -> None:
        """Words beside a part; `brief` ones where there is little room."""
        box = self.sheet.box(self.board.placed[part].body)
        self.wanted.append(
            Label(words, box, needed, rank=(65 if brief else 40) if needed else 10, brief=brief)
        )

    def say(self, words: Words, place: Box, rank: int = 60, needed: bool = True) -> None:
        """Words beside some other place."""
        self.wanted.append(Label(words, place, needed, rank=rank))

    def say_on(self, arrow: Arrow, words: Words) -> None:
        """Words at the outer end of an arrow: beyond it, else above, below or beside it."""
        sides = {EAST: "ens", WEST: "wns", NORTH: "new", SOUTH: "sew"}[arrow.out]
        self.wanted.append(Label(words, arrow.tail, rank=95, sides=sides))

    def use(
        self,
        use: PortUse,
        what: str,
        rank: int = 60,
        beyond: Box | None = None,
        hooked: bool = False,
    ) -> None:
        """What a service port is used for, whether its core is out, and its name; hooked up where
        there is no room near, without its name, which the step beside it says."""
        head = f"{what}, core out" if use.core_out else what
        port = names.service_port(self.board.circuit, use.port)
        brief = ((head, True),) if hooked else ()
        self.say_at(use.port, ((head, True), (port, False)), rank, beyond, brief)

    def say_at(
        self,
        port: str,
        words: Words,
        rank: int = 60,
        beyond: Box | None = None,
        brief: Words = (),
        needed: bool = True,
    ) -> None:
        """Words at a service port, beside the lane that a hose leaves by."""
        tap = self.board.taps[port]
        look, down = tap.mouth[0] - tap.at[0], tap.mouth[1] > tap.at[1]
        sides, lean = ("nsew", "e" if look > 0 else "w") if look else ("ewns", "ns"[down])
        box = self.tap_box(port)
        if beyond:
            box = around([box[:2], box[2:], beyond[:2], beyond[2:]])
            sides = "ewns" if look >= 0 else "wens"
        self.wanted.append(Label(words, box, needed, rank, sides=sides, lean=lean, brief=brief))

    def tap_box(self, port: str) -> Box:
        """A service port with its mouth."""
        tap = self.board.taps[port]
        return self.sheet.box(around([tap.at, tap.mouth]).grown(0.3))
