"""What is hooked up to the machine: cylinder, pump, recovery machine, scale, gauge."""

from __future__ import annotations

from dataclasses import dataclass, replace

from packets.drawings.geometry import EAST, NORTH, SOUTH, WEST, Box, Node, Point
from packets.drawings.shapes import (
    BLACK,
    Mark,
    Round,
    Stroke,
    arc,
    area,
    hatched,
    line,
    rectangle,
)


@dataclass(frozen=True)
class Gear:
    """A piece of equipment: its caption, what it covers, where hoses go on, its marks.

    In lattice steps round a node; `outlets` are where hoses go on, and which way those look. `tag`
    names a part of it: its words stand on `tag_on` and run on to the right, or to the left.
    `beside`: the caption stands at its right or left end, +1 or -1, not under it.
    """

    caption: str
    body: Box
    outlets: tuple[tuple[Node, Node], ...]
    marks: tuple[Mark, ...]
    tag: str = ""
    tag_on: Point = (0.0, 0.0)
    tag_left: bool = False
    beside: int = 0

    def mirrored(self) -> Gear:
        """The same seen from behind."""
        left, top, right, bottom = self.body
        return replace(
            self,
            body=Box(-right, top, -left, bottom),
            outlets=tuple(((-n[0], n[1]), (-look[0], look[1])) for n, look in self.outlets),
            marks=tuple(_mirror(one) for one in self.marks),
            tag_on=(-self.tag_on[0], self.tag_on[1]),
            tag_left=not self.tag_left,
            beside=-self.beside,
        )


def _mirror(one: Mark) -> Mark:
    if isinstance(one, Round):
        return replace(one, at=(-one.at[0], one.at[1]))
    return replace(one, points=tuple((-x, y) for x, y in one.points))


def _bottle(x: float, top: float, bottom: float, half: float = 0.9) -> Stroke:
    """A gas cylinder standing upright, with round shoulders."""
    shoulders = arc((x, top + half), (half, half), 1, 2)
    foot: tuple[Point, ...] = ((x + half, bottom), (x - half, bottom))
    return area(*shoulders, *foot)


def _scale(x: float, y: float, half: float = 1.4) -> tuple[Mark, ...]:
    """A platform scale under something."""
    return (
        line((x - half, y), (x + half, y), weight=2.0),
        area(
            (x - half + 0.3, y + 0.1),
            (x + half - 0.3, y + 0.1),
            (x + half, y + 0.75),
            (x - half, y + 0.75),
        ),
        line((x - 0.3, y + 0.42), (x + 0.3, y + 0.42)),
    )


_ON_TOP: tuple[tuple[Node, Node], ...] = (
    ((-1, -2), WEST),
    ((1, -2), EAST),
    ((0, -3), NORTH),
)

NITROGEN = Gear(
    "Nitrogen",
    Box(-0.95, -2.6, 0.95, 2.3),
    _ON_TOP,
    (
        _bottle(0, -1.4, 2.3),
        line((0, -1.4), (0, -1.7)),
        line((-0.9, 0.2), (0.9, 0.2), weight=0.7),
        Round((0, -2), 0.55),
        line((0, -2), (0.3, -2.3), weight=0.8),
    ),
)
CHARGING = Gear(
    "Charging cylinder on scale",
    Box(-1.4, -2.3, 1.4, 2.75),
    _ON_TOP,
    (
        _bottle(0, -1.5, 1.9),
        line((0, -1.5), (0, -2)),
        rectangle(Box(-0.4, -2.25, 0.4, -1.8)),
        *_scale(0, 2.0),
    ),
)
PUMP = Gear(
    "Vacuum pump",
    Box(-1.3, -1.3, 1.3, 1.7),
    (((-2, 0), WEST), ((2, 0), EAST), ((0, -2), NORTH), ((-2, 1), WEST), ((2, 1), EAST)),
    (
        Round((0, 0), 1.25),
        area((-0.85, 0.55), (0.85, 0.55), (0, -1.1), fill=BLACK),
        line((-1.3, 1.65), (1.3, 1.65), weight=2.0),
    ),
)
RECOVERY = Gear(
    "Recovery machine, cylinder on scale",
    Box(-1.6, -2.1, 5.4, 2.9),
    (((-2, 0), WEST), ((0, -2), NORTH), ((0, 2), SOUTH), ((-2, -1), WEST), ((-2, 1), WEST)),
    (
        rectangle(Box(-1.6, -1.3, 1.6, 1.3)),
        Round((0, 0), 0.85),
        line((-0.5, -0.69), (0.78, -0.32)),
        line((-0.5, 0.69), (0.78, 0.32)),
        line((1.6, 0), (2.3, 0), (2.3, -2.0), (4, -2.0), (4, -1.4), weight=1.6),
        _bottle(4, -1.4, 2.0),
        *_scale(4, 2.1),
    ),
)
# A burnt circuit: both hoses meet ahead of the drier, and the machine draws through it alone.
_DRIER = Box(-5.1, -0.8, -2.5, 0.8)
RECOVERY_BURNT = replace(
    RECOVERY,
    body=Box(-6.5, -2.4, 5.4, 2.9),
    outlets=(((-7, 0), WEST), ((-6, -3), NORTH), ((-7, 1), WEST), ((-7, -1), WEST)),
    marks=(
        *RECOVERY.marks,
        *hatched(_DRIER),
        line((-2.5, 0), (-1.6, 0), weight=1.6),
        line((-5.1, 0), (-5.6, 0), weight=1.6),
        rectangle(Box(-6.5, -2.4, -5.6, 1.4)),
    ),
    tag="Acid-rated drier",
    tag_on=(-5.1, -2.4),
    beside=1,
)
GAUGE = Gear(
    "Vacuum gauge",
    Box(-0.95, -0.95, 0.95, 0.95),
    (((-1, 0), WEST), ((1, 0), EAST), ((0, -1), NORTH), ((0, 1), SOUTH)),
    (Round((0, 0), 0.95), line((0, 0), (0.5, -0.5), weight=2.0), Round((0, 0), 0.16, BLACK)),
)
