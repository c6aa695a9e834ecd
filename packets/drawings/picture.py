"""The circuit of one drawing and what is done to it: the way of the gas, rings, and its words."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass, field

from packets.circuit import names
from packets.drawings import svg, trail
from packets.drawings.board import Board
from packets.drawings.ends import Arrow
from packets.drawings.gear import Gear
from packets.drawings.geometry import (
    EAST,
    NORTH,
    SOUTH,
    WEST,
    Box,
    Node,
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
_CLEAR = 1.6  # lattice steps from a ringed joint to the next arrow head

Mouth = tuple[Node, Node]  # where a hose goes on, and which way that looks


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
        self.say_of(part, words, needed, () if self.board.size.every_name else more)

    def say_of(self, part: str, words: Words, needed: bool = True, brief: Words = ()) -> None:
        """Words beside a part; `brief` ones where there is little room."""
        box = self.sheet.box(self.board.placed[part].body)
        self.wanted.append(
            Label(words, box, needed, rank=(65 if brief else 40) if needed else 10, brief=brief)
        )

    def say(self, words: Words, place: Box, rank: int = 60, needed: bool = True) -> None:
        """Words beside some other place."""
        self.wanted.append(Label(words, place, needed, rank=rank))

    def say_on(self, arrow: Arrow, words: Words, rivals: tuple[Box, ...]) -> None:
        """Words at the outer end of an arrow: beyond it, else above, below or beside it."""
        sides = {EAST: "ens", WEST: "wns", NORTH: "new", SOUTH: "sew"}[arrow.out]
        self.wanted.append(Label(words, arrow.tail, rank=95, sides=sides, rivals=rivals))

    def use(
        self,
        use: PortUse,
        what: str,
        rank: int = 60,
        beyond: Box | None = None,
        hooked: bool = False,
    ) -> None:
        """What a service port is used for, whether its core is out, and its name, shortened where
        there is little room; hooked up where there is none, without it: the step says it."""
        head = f"{what}, core out" if use.core_out else what
        port = names.service_port(self.board.circuit, use.port)
        brief = ((head, True),) if hooked else ()
        fewer = ((head, True), (port.replace(" service port", " port"), False))
        short = fewer if hooked and not self.board.size.every_name else ()
        self.say_at(use.port, ((head, True), (port, False)), rank, beyond, brief, short=short)

    def say_at(
        self,
        port: str,
        words: Words,
        rank: int = 60,
        beyond: Box | None = None,
        brief: Words = (),
        needed: bool = True,
        short: Words = (),
    ) -> None:
        """Words at a service port, beside the lane that a hose leaves by."""
        tap = self.board.taps[port]
        look, down = tap.mouth[0] - tap.at[0], tap.mouth[1] > tap.at[1]
        sides, lean = ("nsew", "e" if look > 0 else "w") if look else ("ewns", "ns"[down])
        box = self.tap_box(port)
        if beyond:
            box = around([box[:2], box[2:], beyond[:2], beyond[2:]])
            sides = "ewns" if look >= 0 else "wens"
        self.wanted.append(
            Label(words, box, needed, rank, sides=sides, lean=lean, short=short, brief=brief)
        )

    def tap_box(self, port: str) -> Box:
        """A service port with its mouth."""
        tap = self.board.taps[port]
        return self.sheet.box(around([tap.at, tap.mouth]).grown(0.3))
