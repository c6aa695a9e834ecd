"""Open ends and ports of one drawing: their plugs, and arrows out of them and into them."""

from __future__ import annotations

from typing import NamedTuple

from packets.drawings import svg, trail
from packets.drawings.geometry import Box, Node, Point, around, edges, gap
from packets.drawings.sheet import HEAVY, SYMBOL, Sheet
from packets.model.hookups import End

_ARROW = 2.4  # lattice steps that an arrow in or out is long
_SHORT = 0.7  # of its length where another arrow is near
_CLEAR = 2.5  # mm between two arrows, so that it is plain which a word belongs to


class Arrow(NamedTuple):
    """An arrow in or out: what it covers, its outer end, and which way that lies."""

    box: Box
    tail: Box
    out: Node


def cap(sheet: Sheet, end: End, fill: str) -> Box:
    """A plug on an open end: black for the route, white when it just stays on."""
    plug = plug_box(sheet, end)
    sheet.put("mark", svg.stroke(edges(plug), "cap", SYMBOL, closed=True, fill=fill))
    sheet.take(plug)
    return plug


def plug_box(sheet: Sheet, end: End) -> Box:
    """What the plug of an open end covers."""
    (x, y), (a, b) = trail.end_of(sheet.board, end)
    over = around([(x, y), (x - a * 0.42, y - b * 0.42)])
    aside = (0.0, 0.58) if a else (0.58, 0.0)
    left, top, right, bottom = over
    return sheet.box(Box(left - aside[0], top - aside[1], right + aside[0], bottom + aside[1]))


def arrow_at(sheet: Sheet, port: str, inward: bool = False, other: Arrow | None = None) -> Arrow:
    """An arrow straight out of a service port, or into it; from a side, or short, where it would
    come so near to another arrow that a word beside one could be taken for the other's."""
    mouth, look = sheet.board.mouth(port)
    straight = _covered(sheet, mouth, look)
    if other is None or gap(straight, other.box) >= _CLEAR:
        return _arrow(sheet, mouth, look, mouth, inward)
    for out in ((look[1], look[0]), (-look[1], -look[0])):
        start = _moved(_moved(mouth, look, 0.4), out, 0.5)
        clear = gap(_covered(sheet, start, out), other.box) > gap(straight, other.box)
        if clear and sheet.taken.free(_covered(sheet, _moved(start, out, 0.6), out)):
            return _arrow(sheet, start, out, start, inward)
    return _arrow(sheet, mouth, look, mouth, inward, _SHORT)


def arrow_beside(sheet: Sheet, end: End, inward: bool = False) -> Arrow:
    """An arrow out of an open end, or into it, on the side where there is most room."""
    at, look = trail.end_of(sheet.board, end)
    start = _moved(at, look, 0.5)
    ways = [(look[1], look[0]), (-look[1], -look[0])]
    out = min(ways, key=lambda way: _crowd(sheet, start, way))
    return _arrow(sheet, start, out, at, inward)


def _arrow(
    sheet: Sheet, start: Point, out: Node, at: Point, inward: bool, share: float = 1.0
) -> Arrow:
    """An arrow from a place outwards, or to it, joined to the end it belongs to; of the whole
    length or a share of it."""

    def along(far: float) -> Point:
        return _moved(start, out, far * share)

    shaft = [along(_ARROW), along(1.2)] if inward else [at, start, along(1.4)]
    points = [sheet.at(point) for point in dict.fromkeys(shaft)]
    kind = "inlet" if inward else "vent"
    sheet.put("mark", svg.stroke(points, kind, sheet.weight(HEAVY)))
    if inward:
        sheet.arrow(along(1.1), (-out[0], -out[1]), 0.75 * share)
    else:
        sheet.arrow(along(1.7), out, 0.75 * share)
    box = _covered(sheet, start, out, share)
    sheet.take(box)
    x, y = round(at[0]), round(at[1])
    sheet.ground.shut.update((x + out[0] * far, y + out[1] * far) for far in range(4))
    whole = around([box[:2], box[2:], sheet.at(at)])  # with what joins it to its end
    return Arrow(whole, sheet.box(around([along(1.4), along(_ARROW)]).grown(0.4)), out)


def _covered(sheet: Sheet, start: Point, out: Node, share: float = 1.0) -> Box:
    """What an arrow from a place covers."""
    return sheet.box(around([start, _moved(start, out, _ARROW * share)]).grown(0.4))


def _moved(at: Point, way: Node, far: float) -> Point:
    return at[0] + way[0] * far, at[1] + way[1] * far


def _crowd(sheet: Sheet, start: Point, way: Node) -> int:
    """How little room there is beside an end: on the paper, for an arrow, for words beyond; of
    as much room, whether the drawing gets higher."""
    x, y = start
    near = (x + way[0] * 0.5, y + way[1] * 0.5)
    arrow = around([near, (x + way[0] * 2.4, y + way[1] * 2.4)]).grown(0.4)
    far = _ARROW + (4.0 if sheet.board.size.spare else 6.0)
    beyond = around([near, (x + way[0] * far, y + way[1] * far)]).grown(0.4)
    free, box = sheet.taken.free, sheet.box(arrow)
    if sheet.board.size.spare:
        # Nothing but its word tells what the arrow is.
        box = sheet.box(beyond)
    off = box.left < 0 or box.right > sheet.board.size.width_mm
    top, foot = sheet.board.reach
    ahead = sheet.box(beyond)
    higher = ahead.top < top or ahead.bottom > foot
    return 8 * off + 4 * (not free(box)) + 2 * (not free(ahead)) + higher


def side(sheet: Sheet, node: Node, look: Node) -> Node:
    """The side on which a hose leaves an end best, at right angles to the way it looks."""
    ways = ((look[1], look[0]), (-look[1], -look[0]))
    return min(ways, key=lambda way: (_shut(sheet, node, way), _crowd(sheet, node, way)))


def _shut(sheet: Sheet, node: Node, way: Node) -> int:
    """How many of the next steps a hose cannot take."""
    steps = [(node[0] + way[0] * far, node[1] + way[1] * far) for far in (1, 2, 3)]
    return sum(step in sheet.ground.shut for step in steps)
