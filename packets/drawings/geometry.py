"""Points, boxes and quarter turns; millimetres to stable text."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import hypot
from typing import NamedTuple

Node = tuple[int, int]
Point = tuple[float, float]

EAST, SOUTH, WEST, NORTH = (1, 0), (0, 1), (-1, 0), (0, -1)
SIDES: tuple[Node, ...] = (EAST, SOUTH, WEST, NORTH)


class Box(NamedTuple):
    """A rectangle; y runs downwards."""

    left: float
    top: float
    right: float
    bottom: float

    def grown(self, by: float) -> Box:
        """The box with a margin all round."""
        return Box(self.left - by, self.top - by, self.right + by, self.bottom + by)

    def moved(self, x: float, y: float) -> Box:
        """The box elsewhere."""
        return Box(self.left + x, self.top + y, self.right + x, self.bottom + y)

    def times(self, factor: float) -> Box:
        """The box in another unit."""
        return Box(*(side * factor for side in self))

    @property
    def centre(self) -> Point:
        """Its middle."""
        return (self.left + self.right) / 2, (self.top + self.bottom) / 2


def around(points: Iterable[Point]) -> Box:
    """The smallest box round some points."""
    xs, ys = zip(*points, strict=True)
    return Box(min(xs), min(ys), max(xs), max(ys))


def gap(one: Box, other: Box) -> float:
    """How far apart two boxes are, corner to corner where they lie aslant."""
    across = max(one.left - other.right, other.left - one.right, 0.0)
    down = max(one.top - other.bottom, other.top - one.bottom, 0.0)
    return hypot(across, down)


@dataclass(frozen=True)
class Pose:
    """How a symbol lies: mirrored top to bottom first, then turned clockwise by quarters."""

    turns: int = 0
    flipped: bool = False

    def point(self, point: Point) -> Point:
        """Where a point of the symbol comes to lie."""
        x, y = point[0], -point[1] if self.flipped else point[1]
        for _ in range(self.turns):
            x, y = -y, x
        return x, y

    def node(self, node: Node) -> Node:
        """The same for a lattice node."""
        x, y = self.point(node)
        return round(x), round(y)

    def box(self, box: Box) -> Box:
        """The same for a box."""
        return around([self.point((box.left, box.top)), self.point((box.right, box.bottom))])


def corners(nodes: Sequence[Node]) -> list[Node]:
    """A way of single steps as its first, last and turning nodes."""
    kept = list(nodes[:1])
    for before, at, after in zip(nodes, nodes[1:], nodes[2:], strict=False):
        if (at[0] - before[0], at[1] - before[1]) != (after[0] - at[0], after[1] - at[1]):
            kept.append(at)
    return [*kept, nodes[-1]] if len(nodes) > 1 else kept


def straightened(points: Sequence[Point]) -> list[Point]:
    """A bent line without the points it runs straight through."""
    kept: list[Point] = []
    for at, point in enumerate(points):
        if 0 < at < len(points) - 1:
            (a, b), (c, d) = points[at - 1], points[at + 1]
            if a == point[0] == c or b == point[1] == d:
                continue
        kept.append(point)
    return kept


def floats(nodes: Sequence[Node]) -> list[Point]:
    """Nodes as points."""
    return [(float(x), float(y)) for x, y in nodes]


def edges(box: Box) -> list[Point]:
    """The corners of a box, clockwise."""
    left, top, right, bottom = box
    return [(left, top), (right, top), (right, bottom), (left, bottom)]


def bars(points: Sequence[Point], half: float) -> list[Box]:
    """The boxes that a bent line of some half thickness covers."""
    return [around(pair).grown(half) for pair in pairwise(points)]


def number(value: float) -> str:
    """Millimetres as text: at most two decimals, no minus zero."""
    text = f"{value:.2f}".rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text
