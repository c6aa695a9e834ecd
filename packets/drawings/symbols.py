"""A symbol for every kind of part: our own simple shapes, near those of ISO 14617.

Drawn with the flow from left to right. Sizes in lattice steps.
"""

from __future__ import annotations

from packets.drawings.geometry import EAST, NORTH, SOUTH, WEST, Box, Node, around
from packets.drawings.shapes import (
    BLACK,
    Mark,
    Round,
    Shape,
    Stroke,
    arc,
    area,
    capsule,
    hatched,
    joined,
    line,
    rectangle,
)
from packets.model.circuits import CircuitPart

# A coil's box and its zigzag.
_COIL = Box(-2.0, -1.15, 2.0, 1.15)
_ZIGZAG = line(
    (-2, 0), (-1.5, 0), (-1.2, -0.75), (-0.6, 0.75), (0, -0.75), (0.6, 0.75), (1.2, -0.75),
    (1.5, 0), (2, 0),
)  # fmt: skip
_CAN = Box(-1.45, -0.8, 1.45, 0.8)
_VESSEL = Box(-2.0, -0.95, 2.0, 0.95)
_BOW = area((-1, -0.68), (1, 0.68), (1, -0.68), (-1, 0.68))
_STEM = line((0, 0), (0, -0.85))


def _valve(*marks: Mark, top: float = -0.68) -> Shape:
    """The bow tie of a valve with what moves it above."""
    return Shape(Box(-1, top, 1, 0.68), 2, (*marks, _BOW))


_CURLS = tuple(
    point for at in (-0.75, 0.0, 0.75) for point in arc((at, -0.05), (0.42, 0.6), 0.5, 2.5, 16)
)
_REVERSING = Box(-2.6, -1.0, 2.6, 1.0)

SHAPES: dict[str, Shape] = {
    # Lines that close in on each other in the direction of flow: a compressor.
    "compressor": Shape(
        Box(-1.45, -1.45, 1.45, 1.45),
        2,
        (
            Round((0, 0), 1.45),
            line((-0.85, -1.17), (1.33, -0.55)),
            line((-0.85, 1.17), (1.33, 0.55)),
        ),
    ),
    "condenser": Shape(_COIL, 3, (rectangle(_COIL), _ZIGZAG)),
    "evaporator": Shape(_COIL, 3, (rectangle(_COIL), _ZIGZAG)),
    "receiver": Shape(_VESSEL, 3, (capsule(_VESSEL), line((-1.5, 0.2), (1.5, 0.2), weight=0.7))),
    "accumulator": Shape(
        _VESSEL,
        3,
        (capsule(_VESSEL), line((2, 0), (0.9, 0), *arc((0.3, 0), (0.6, 0.55), 0, 1), (-0.3, -0.3))),
    ),
    "muffler": Shape(
        Box(-1.3, -0.7, 1.3, 0.7),
        2,
        (
            rectangle(Box(-1.3, -0.7, 1.3, 0.7)),
            line((-0.4, -0.7), (-0.4, 0.25)),
            line((0.4, 0.7), (0.4, -0.25)),
        ),
    ),
    "filter-drier": Shape(_CAN, 2, hatched(_CAN)),
    "suction-drier": Shape(_CAN, 2, joined(hatched(_CAN), [line((-1.45, 0), (1.45, 0))])),
    "sight-glass": Shape(
        Box(-1.0, -1.0, 1.0, 1.0), 2, (Round((0, 0), 1.0), Round((0, 0), 0.36, BLACK))
    ),
    "tee": Shape(Box(-0.3, -0.3, 0.3, 0.3), 1, (Round((0, 0), 0.3, BLACK),)),
    "check-valve": Shape(
        Box(-0.9, -0.7, 0.9, 0.7),
        2,
        (
            area((-0.75, -0.65), (0.7, 0), (-0.75, 0.65)),
            line((0.75, -0.7), (0.75, 0.7), weight=1.8),
        ),
    ),
    "solenoid": _valve(
        _STEM,
        rectangle(Box(-0.6, -1.75, 0.6, -0.85)),
        line((-0.6, -0.85), (0.6, -1.75)),
        top=-1.75,
    ),
    "service-valve": _valve(
        _STEM, line((0, 0), (0, -1.3)), line((-0.6, -1.3), (0.6, -1.3), weight=1.8), top=-1.4
    ),
    "ball-valve": Shape(
        Box(-1, -1.1, 1, 0.68),
        2,
        (
            _BOW,
            line((0, 0), (0, -1.0)),
            line((0, -1.0), (0.8, -1.0), weight=1.8),
            Round((0, 0), 0.36),
        ),
    ),
    "pressure-regulator": _valve(
        line((0, 0), (0, -0.6)),
        line((-0.45, -0.6), (0.45, -0.75), (-0.45, -0.95), (0.45, -1.15), (-0.45, -1.35)),
        line((-0.6, -1.5), (0.6, -1.5), weight=1.8),
        top=-1.6,
    ),
    "reversing-valve": Shape(
        _REVERSING,
        2,
        (
            rectangle(_REVERSING),
            line((-2, 1), (-2, 0.5), *arc((-1, 0.5), (1, 0.75), 1, 2), (0, 1)),
            line((0, 1), (0, 0.5), *arc((1, 0.5), (1, 0.75), 1, 2), (2, 1)),
        ),
    ),
}

METERING: dict[str, Shape] = {
    "txv": _valve(_STEM, area((-0.62, -0.85), *arc((0, -0.85), (0.62, 0.6), 1, 2)), top=-1.45),
    "eev": _valve(
        _STEM,
        rectangle(Box(-0.65, -1.9, 0.65, -0.85)),
        line((-0.35, -1.05), (-0.35, -1.65), (0, -1.25), (0.35, -1.65), (0.35, -1.05)),
        top=-1.9,
    ),
    "fixed-orifice": Shape(
        Box(-0.9, -0.7, 0.9, 0.7),
        2,
        (
            Stroke(((-0.9, 0), (0.9, 0)), weight=0.9),
            Stroke(arc((0, -0.95), (0.8, 0.8), 0.1, 0.9)),
            Stroke(arc((0, 0.95), (0.8, 0.8), -0.1, -0.9)),
        ),
    ),
    "capillary": Shape(
        Box(-1.3, -0.7, 1.3, 0.7), 2, (line((-2, 0), (-1.3, 0), *_CURLS[6:-6], (1.3, 0), (2, 0)),)
    ),
}
_FOUR: dict[str, tuple[Node, Node]] = {
    "discharge": ((0, -2), NORTH),
    "outdoor": ((-2, 2), SOUTH),
    "suction": ((0, 2), SOUTH),
    "indoor": ((2, 2), SOUTH),
}


# Their strokes run out to their ports, or they say nothing by their size.
_FIXED = ("reversing-valve", "capillary", "tee")


def shape(part: CircuitPart, by: float = 1.0) -> Shape:
    """The symbol of a part, so many times as big; a metering device goes by its device."""
    kind = part.kind
    if kind == "metering":
        kind = part.device if part.device in METERING else "txv"
    drawn = METERING[kind] if kind in METERING else SHAPES[kind]
    return drawn if by == 1.0 or kind in _FIXED else drawn.times(by)


def turned_about(part: CircuitPart) -> bool:
    """A check valve that lets gas pass from its second port to its first points the other way."""
    way = part.passes
    return (
        part.kind == "check-valve" and way is not None and (way.forward, way.back) == ("no", "yes")
    )


def spots(part: CircuitPart) -> dict[str, tuple[Node, Node]]:
    """Where each port lies and which way it looks, as the symbol is drawn."""
    if part.kind == "reversing-valve" and set(part.ports) == set(_FOUR):
        return {port: _FOUR[port] for port in part.ports}
    drawn = shape(part)
    low = 1 - int(-drawn.body.bottom // 1)
    if part.kind == "tee":
        low = 1
    ways: list[tuple[Node, Node]] = [
        ((-drawn.reach, 0), WEST),
        ((drawn.reach, 0), EAST),
        ((0, low), SOUTH),
        ((0, -low), NORTH),
    ]
    more = (((-1) ** at * (at // 2 + 2), 0) for at in range(len(part.ports)))
    ways += [((x * 2, low), SOUTH) for x, _ in more]
    return dict(zip(part.ports, ways, strict=False))


def covered(part: CircuitPart) -> Box:
    """What the symbol covers with the stubs of its ports."""
    body = shape(part).body
    nodes = [node for node, _ in spots(part).values()]
    return around([(body.left, body.top), (body.right, body.bottom), *nodes])
