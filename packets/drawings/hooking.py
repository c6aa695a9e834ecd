"""Where equipment comes to stand, and how its hoses run to the service ports."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice
from math import inf

from packets.drawings import labels, svg, trail, turning, written
from packets.drawings.gear import Gear
from packets.drawings.geometry import Box, Node, around, bars, corners, floats
from packets.drawings.labels import Label, Words
from packets.drawings.letters import breaks
from packets.drawings.picture import Mouth
from packets.drawings.routing import Field, way
from packets.drawings.shapes import WHITE, Round
from packets.drawings.sheet import BORE, HOSE, SYMBOL, Sheet

ACROSS = 100.0  # what a hose that crosses a line counts
# Lattice steps that equipment stands off, and between two places; places tried with hoses of any
# shape, with plain ones, and looked at.
_AWAY, _STRIDE, _TRIES, _PLAIN, _LOOKED_AT = 8, 4, 3, 6, 30
_TALLER = 1.0  # what a millimetre counts by which the drawing gets higher
_NEAR = 9.0  # what a hose costs that is good enough
_BESIDE = [(a, b) for a in range(-4, 5) for b in range(-4, 5) if abs(a) + abs(b) < _STRIDE]
_UNDER = 0.8  # mm from equipment to its caption


_Hooked = tuple[float, Gear, Node, list[tuple[Node, ...]]]  # cost, gear, its place, its hoses


class NoRoom(ValueError):
    """Something that the drawing must show finds no place."""


@dataclass(frozen=True)
class _Caption:
    """The name of a piece of equipment, set under it."""

    words: Words
    wide: float
    high: float


def hook_up(
    sheet: Sheet, gear: Gear, mouths: Sequence[Mouth], flow: str, most: float = inf
) -> float:
    """Draw equipment near its mouths with a hose to each; returns how good that is, less is better.

    `flow` is "in" or "out" of the circuit, or nothing. What does not come out better than `most`
    is given up: `NoRoom`.
    """
    caption = _caption(sheet, gear)
    spots = _spots(sheet, gear, caption, mouths)
    first = list(islice(spots, _PLAIN))
    best = _best(sheet, first, caption, mouths, most=most)
    if best is None:
        regions = sheet.ground.regions()
        likely = _likely(sheet, [*first, *islice(spots, _LOOKED_AT)], mouths, regions)
        best = _best(sheet, likely, caption, mouths, most=most, regions=regions)
    if best is None:
        raise NoRoom(f"no room for the {gear.caption.lower()}")
    cost, turned, at, hoses = best
    _draw(sheet, turned, at, caption)
    for hose in hoses:
        _draw_hose(sheet, hose, flow)
    return cost


def _caption(sheet: Sheet, gear: Gear) -> _Caption:
    """In as many lines as leave it about as wide as the gear."""
    wide = (gear.body.right - gear.body.left) * sheet.pitch
    options = breaks(gear.caption, sheet.board.size.letters, True)
    block = min(options, key=lambda one: max(one.wide - wide, 0) + 3.0 * len(one.lines))
    return _Caption(tuple((line, True) for line in block.lines), block.wide, block.high)


def _words_under(sheet: Sheet, gear: Gear, at: Node, caption: _Caption) -> Box:
    body = sheet.box(gear.body.moved(*at))
    if gear.beside:
        left = body.right + _UNDER if gear.beside > 0 else body.left - _UNDER - caption.wide
        return Box(left, body.bottom - caption.high, left + caption.wide, body.bottom)
    middle, top = body.centre[0], body.bottom + _UNDER
    return Box(middle - caption.wide / 2, top, middle + caption.wide / 2, top + caption.high)


def _tag(sheet: Sheet, gear: Gear, at: Node) -> Box | None:
    """Where the name of a part of it stands."""
    if not gear.tag:
        return None
    (block, *_), (x, y) = breaks(gear.tag, sheet.board.size.letters, True), gear.tag_on
    side, foot = sheet.at((at[0] + x, at[1] + y))
    left = side - block.wide if gear.tag_left else side
    return Box(left, foot - block.high, left + block.wide, foot)


def _covered(sheet: Sheet, gear: Gear, at: Node, caption: _Caption) -> list[Box]:
    """What a gear takes with its words."""
    tag = _tag(sheet, gear, at)
    boxes = [sheet.box(gear.body.moved(*at)), _words_under(sheet, gear, at, caption)]
    return [*boxes, tag] if tag else boxes


def _best(
    sheet: Sheet,
    spots: Sequence[tuple[Gear, Node]],
    caption: _Caption,
    mouths: Sequence[Mouth],
    most: float,
    regions: Sequence[int] = (),
) -> _Hooked | None:
    """Of some places the one whose hoses cost least, or the first that is good enough; none that
    costs the most or more. Without `regions` hoses are plain ones."""
    best: _Hooked | None = None
    for turned, at in spots:
        over = _over(sheet, turned, at, caption)
        least = (best[0] if best else most) - over
        found = _hoses(sheet, turned, at, caption, mouths, regions, least)
        if found is not None:
            best = (found[0] + over, turned, at, found[1])
        if best is not None and best[0] < _NEAR * len(mouths):
            break
    return best


def _likely(
    sheet: Sheet,
    spots: Sequence[tuple[Gear, Node]],
    mouths: Sequence[Mouth],
    regions: Sequence[int],
) -> list[tuple[Gear, Node]]:
    """The few places that hoses reach with the fewest lines crossed."""
    cell = sheet.ground.cell
    goals = [regions[cell((x + a, y + b))] for (x, y), (a, b) in mouths]

    def apart(spot: tuple[Gear, Node]) -> int:
        gear, at = spot
        near = {regions[cell((at[0] + x + a, at[1] + y + b))] for (x, y), (a, b) in gear.outlets}
        return sum(goal not in near for goal in goals)

    return sorted(spots, key=apart)[:_TRIES]


def _spots(
    sheet: Sheet, gear: Gear, caption: _Caption, mouths: Sequence[Mouth]
) -> Iterator[tuple[Gear, Node]]:
    """Free places for a gear, the nearest first and no two beside each other."""
    goals = [(x + _AWAY * a, y + _AWAY * b) for (x, y), (a, b) in mouths]
    ground = sheet.ground
    across = {x: sum(abs(x - goal[0]) for goal in goals) for x in range(ground.left, ground.right)}
    found: list[tuple[float, int, int]] = []
    for y in range(ground.top, ground.bottom + 1):
        down = sum(abs(y - goal[1]) for goal in goals) + _over(sheet, gear, (0, y), caption)
        found += [(down + cost, x, y) for x, cost in across.items() if (x + y) % 2]
    found.sort()
    versions = (gear, gear.mirrored())
    rooms = [_room(sheet, one, caption) for one in versions]
    near: set[Node] = set()
    for _, x, y in found:
        if (x, y) in near:
            continue
        for turned, room in zip(versions, rooms, strict=True):
            if sheet.taken.free(room.moved(x * sheet.pitch, y * sheet.pitch)):
                near.update((x + a, y + b) for a, b in _BESIDE)
                yield turned, (x, y)
                break


def _over(sheet: Sheet, gear: Gear, at: Node, caption: _Caption) -> float:
    """What it counts that a gear makes the drawing higher."""
    (top, foot), boxes = sheet.reach, _covered(sheet, gear, at, caption)
    above, below = min(box.top for box in boxes), max(box.bottom for box in boxes)
    return _TALLER * (max(top - above, 0.0) + max(below - foot, 0.0))


def _room(sheet: Sheet, gear: Gear, caption: _Caption) -> Box:
    """What a gear at the origin takes with its caption, and a step round it for hoses."""
    boxes = _covered(sheet, gear, (0, 0), caption)
    whole = around([corner for box in boxes for corner in (box[:2], box[2:])])
    return whole.grown(1.1 * sheet.pitch)


def _hoses(
    sheet: Sheet,
    gear: Gear,
    at: Node,
    caption: _Caption,
    mouths: Sequence[Mouth],
    regions: Sequence[int],
    least: float,
) -> tuple[float, list[tuple[Node, ...]]] | None:
    """A hose from each mouth to an outlet of its own, and what they cost; None if one has none or
    they don't cost less than the least."""
    ground = sheet.ground.copy()
    for box in _covered(sheet, gear, at, caption):
        ground.fill(sheet.lattice(box))
    outlets = [((at[0] + n[0], at[1] + n[1]), look) for n, look in gear.outlets]
    ground.shut -= {node for node, _ in outlets}
    found: list[tuple[Node, ...]] = []
    cost = 0.0
    for mouth in mouths:
        hose: tuple[Node, ...] = ()
        for node, out in sorted(outlets, key=lambda one: turning.bends(mouth, one)):
            hose = way(ground, *mouth, node, (-out[0], -out[1]), not regions, regions)
            if hose:
                outlets.remove((node, out))
                break
        if not hose:
            return None
        cost += _effort(ground, hose)
        if cost >= least:
            return None
        found.append(hose)
        ground.keep(hose)
    return cost, found


def _effort(ground: Field, hose: tuple[Node, ...]) -> float:
    crossed = sum(node in ground.across or node in ground.upright for node in hose)
    return 0.5 * len(hose) + len(corners(hose)) + ACROSS * crossed


def _draw(sheet: Sheet, gear: Gear, at: Node, caption: _Caption) -> None:
    pieces = []
    for one in gear.marks:
        drawn = [one.at] if isinstance(one, Round) else one.points
        shown = [sheet.at((x + at[0], y + at[1])) for x, y in drawn]
        pieces.append(svg.mark(one, shown, sheet.pitch, SYMBOL))
    sheet.put("symbol", svg.group("gear", pieces))
    body, *named = _covered(sheet, gear, at, caption)
    for words, box in zip((caption.words, ((gear.tag, True),)), named, strict=False):
        wide, high = box.right - box.left, box.bottom - box.top
        setting = labels.Setting(words, sheet.board.size.letters, wide, high)
        placed = labels.Placement(Label(words, body), setting, box, None)
        sheet.put("label", written.drawn(placed))
        sheet.written.take(box)
    for taken in (body, *named):
        sheet.take(taken.grown(0.4))
        sheet.ground.fill(sheet.lattice(taken))


def _draw_hose(sheet: Sheet, hose: tuple[Node, ...], flow: str) -> None:
    """Two thin lines side by side, up to the edge of the gear, with arrow heads on them."""
    sheet.runs.append(("hose", hose))
    sheet.ground.keep(hose)
    (a, b), (x, y) = hose[-2:]
    bent = [*floats(corners(hose))[:-1], (x + (x - a) * 0.5, y + (y - b) * 0.5)]
    points = [sheet.at(node) for node in bent]
    sheet.put("hose", svg.stroke(points, "hose", HOSE), svg.stroke(points, "bore", BORE, ink=WHITE))
    for bar in bars(points, HOSE / 2 + 0.35):
        sheet.take(bar, solid=False)
    if flow:
        shown = floats(corners(hose if flow == "out" else hose[::-1]))
        for spot, look in trail.arrows(shown, 18.0):
            sheet.arrow(spot, look, 0.55, "hop")
