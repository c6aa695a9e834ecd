"""Where words go: beside what they name, touching nothing; farther off with a thin line to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice, product
from math import inf

from packets.drawings import letters
from packets.drawings.geometry import Box, Point
from packets.drawings.letters import DROP, LEADING, MM_A_POINT, RISE
from packets.drawings.masks import Mask

_NEAR = 2.6  # mm from what it names; farther off a label gets a line to it
_STEPS = (0.7, 1.6, 2.6, 4.0, 6.0, 8.5, 11.5, 15.0, 19.0, 24.0, 30.0, 38.0)
_SLIDES = (0.5, 0.25, 0.75, 0.0, 1.0)
_FORTH, _BACK = (1.0, 0.75, 0.5, 0.25, 0.0), (0.0, 0.25, 0.5, 0.75, 1.0)
_LEANS = {
    "": _SLIDES,
    "e": _FORTH,
    "w": _BACK,
    "s": (1.0, 1.3, *_FORTH[1:]),
    "n": (0.0, -0.3, *_BACK[1:]),
}
_ORDERS = 6  # in which labels are tried
_GRIDS = ((2, 2.0), (1, 0.5))  # mm down and across between places tried all over the sheet
_LOOKED_AT = 400  # free places, the nearest, to which a line is tried
_LED, _THROUGH = 1.0, 100.0  # what a line to words counts: a millimetre; one through words
_HAIR = 0.5  # mm by which a name that may fall away makes a drawing higher
_TALLER = 0.8  # what a millimetre counts by which words make the drawing higher
_AIR = 0.35  # mm kept free above and below words, and more beside them
_BESIDE = 0.9

Words = tuple[tuple[str, bool], ...]  # runs of words, each with whether it is bold


@dataclass(frozen=True)
class Label:
    """Words for a place. Of a higher rank it is placed earlier; without `needed` it may fall
    away. `sides` are those it may stand on, the liked one first: e, w, n, s; above or below it
    leans to the east or west as `lean` says, beside it to the north or south. `brief` words
    stand for the others where those find no room near."""

    words: Words
    place: Box
    needed: bool = True
    rank: int = 0
    badge: bool = False
    sides: str = "esnw"
    lean: str = ""
    brief: Words = ()


Reach = tuple[float, float]  # the top and the foot of what is drawn already [mm]
ANY_HEIGHT: Reach = (-inf, inf)


@dataclass(frozen=True)
class Setting:
    """Words broken into lines, with the size they take [mm]."""

    lines: Words
    points: float
    wide: float
    high: float


@dataclass(frozen=True)
class Placement:
    """A label that has its place."""

    label: Label
    setting: Setting
    box: Box
    leader: tuple[Point, Point] | None


def place(
    wanted: Sequence[Label],
    points: float,
    taken: Mask,
    solid: Mask,
    written: Mask,
    reach: Reach = ANY_HEIGHT,
) -> tuple[list[Placement], list[Label], float]:
    """Places for labels, the needed ones that found none, and how bad it is that some stand far
    off, less is better.

    Of places as near, those within `reach` come first: they make the drawing no higher.

    `taken` is what words must not touch; `solid` what a line to a label should not cross, and
    `written` the words among it, that it crosses only where nothing else is left. All are taken
    further. Higher ranks go first; a label that others wall in is tried again before them.
    """
    order = sorted(wanted, key=lambda one: -one.rank)
    best: tuple[_Tried, tuple[Mask, Mask, Mask]] | None = None
    for _ in range(_ORDERS):
        masks = taken.copy(), solid.copy(), written.copy()
        tried = _in_order(order, points, *masks, reach)
        if best is None or tried.badness < best[0].badness:
            best = tried, masks
        if not tried.walled_in:
            break
        order = [*tried.walled_in, *(one for one in order if one not in tried.walled_in)]
    assert best is not None
    for mask, took in zip((taken, solid, written), best[1], strict=True):
        mask.rows[:] = took.rows
    return best[0].found, best[0].missed, best[0].strain


@dataclass(frozen=True)
class _Tried:
    """What came of placing labels in one order; the walled in are those whose line runs over
    words."""

    found: list[Placement]
    missed: list[Label]
    walled_in: list[Label]

    @property
    def badness(self) -> tuple[int, int]:
        return len(self.missed), len(self.walled_in)

    @property
    def strain(self) -> float:
        """What lines to words count: their length, and a lot if words lie under them."""
        lines = [one.leader for one in self.found if one.leader]
        long = sum(abs(c - a) + abs(d - b) for (a, b), (c, d) in lines)
        return _LED * long + _THROUGH * len(self.walled_in)


def _in_order(
    order: Sequence[Label],
    points: float,
    taken: Mask,
    solid: Mask,
    written: Mask,
    reach: Reach,
) -> _Tried:
    tried = _Tried([], [], [])
    for label in order:
        placed = _place(label, points, taken, solid, written, reach)
        if placed is not None:
            tried.found.append(placed)
            if placed.leader and written.crossed(placed.leader):
                tried.walled_in.append(label)
            for mask in (taken, solid, written):
                mask.take(placed.box)
            for box in along(placed.leader):
                taken.take(box)
        elif label.needed:
            tried.missed.append(label)
    return tried


def _place(
    label: Label, points: float, taken: Mask, solid: Mask, written: Mask, reach: Reach
) -> Placement | None:
    shapes = settings(label.words, points, label.badge)
    brief = settings(label.brief, points) if label.brief else []
    # A number is small: it stands near, or at the nearest place in any direction.
    far = (_STEPS[3:7], _STEPS[7:]) if label.needed and not label.badge else ()
    for steps, some in product((_STEPS[:3], *far), (shapes, brief)):
        for _, setting, box, step in _options(label, some, steps, reach):
            if not (label.needed or _within(box, reach)) or not taken.free(_with_air(label, box)):
                continue
            if step <= _NEAR:
                return Placement(label, setting, box, None)
            line = _line(box, label.place)
            if not written.crossed(line) and not solid.crossed(line, label.place.grown(1.5)):
                return Placement(label, setting, box, line)
    return _anywhere(label, shapes[-1], taken, solid, written, reach) if label.needed else None


def _anywhere(
    label: Label, setting: Setting, taken: Mask, solid: Mask, written: Mask, reach: Reach
) -> Placement | None:
    """The nearest free place with a clear line to it; else one whose line runs over no words."""
    own, fair, any_ = label.place.grown(1.5), None, None
    for down, across in _GRIDS:
        for box in islice(_free(label, setting, taken, down, across, reach), _LOOKED_AT):
            line = _line(box, label.place)
            found = Placement(label, setting, box, line)
            any_ = any_ or found
            if not written.crossed(line):
                if not solid.crossed(line, own):
                    return found
                fair = fair or found
        if fair:
            return fair
    return any_


def _free(
    label: Label, setting: Setting, taken: Mask, down: int, across: float, reach: Reach
) -> Iterator[Box]:
    """Free places on the whole sheet so many millimetres apart, the nearest first."""
    x, y = label.place.centre
    air = _with_air(label, Box(0.0, 0.0, setting.wide, setting.high))
    size = (air.right - air.left, air.bottom - air.top)
    middle = (x - setting.wide / 2, y - setting.high / 2)
    spots = [
        (
            abs(left - middle[0]) + abs(top - middle[1]) + _over(top, top + size[1], reach),
            left - air.left,
            top - air.top,
        )
        for top in range(0, int(taken.height - size[1]) + 1, down)
        for left in taken.lefts(top, size, across)
    ]
    for _, left, top in sorted(spots):
        yield Box(left, top, left + setting.wide, top + setting.high)


def _over(top: float, foot: float, reach: Reach) -> float:
    """What it counts that words stand above or below all that is drawn."""
    return _TALLER * (max(reach[0] - top, 0.0) + max(foot - reach[1], 0.0))


def _within(box: Box, reach: Reach) -> bool:
    """Whether words make the drawing no higher, but for a hair."""
    return box.top > reach[0] - _HAIR and box.bottom < reach[1] + _HAIR


def _options(
    label: Label, shapes: Sequence[Setting], steps: Sequence[float], reach: Reach
) -> list[tuple[float, Setting, Box, float]]:
    """Places at some distances, the best first."""
    found = []
    slides = _LEANS[label.lean]
    for setting in shapes:
        lines = 1.6 * (len(setting.lines) - len(label.words))
        for side, box, step, slide in _spots(label, setting, steps):
            cost = step * (1.0 if step <= _NEAR else 1.6) + 0.5 * label.sides.index(side)
            cost += _over(box.top, box.bottom, reach)
            found.append((cost + lines + 0.35 * slides.index(slide), setting, box, step))
    found.sort(key=lambda one: one[0])
    return found


def _spots(
    label: Label, setting: Setting, steps: Sequence[float]
) -> Iterator[tuple[str, Box, float, float]]:
    left, top, right, bottom = label.place
    wide, high = setting.wide, setting.high
    for side, step, slide in product(label.sides, steps, _LEANS[label.lean]):
        if side in "ns":
            x = (
                left - wide + slide * (right - left + wide)
                if not 0.0 < slide < 1.0
                else ((left + right) / 2 - wide * slide)
            )
            y = top - step - high if side == "n" else bottom + step
        else:
            y = (
                top - high + slide * (bottom - top + high)
                if not 0.0 < slide < 1.0
                else ((top + bottom) / 2 - high * slide)
            )
            x = left - step - wide if side == "w" else right + step
        yield side, Box(x, y, x + wide, y + high), step, slide


def settings(words: Words, points: float, badge: bool = False) -> list[Setting]:
    """The ways to break words into lines; a badge is a disc round its one number."""
    size = points * MM_A_POINT
    if badge:
        across = max(letters.width(words[0][0], points, True) + 1.6, size * 1.45)
        return [Setting(words, points, across, across)]
    found = []
    for most in (1, 2, 3):
        lines: list[tuple[str, bool]] = []
        for run, bold in words:
            blocks = letters.breaks(run, points, bold)
            lines += [(line, bold) for line in blocks[min(most, len(blocks)) - 1].lines]
        wide = max(letters.width(line, points, bold) for line, bold in lines)
        high = size * (LEADING * (len(lines) - 1) + RISE + DROP)
        one = Setting(tuple(lines), points, wide, high)
        if one not in found:
            found.append(one)
    return found


def _with_air(label: Label, box: Box) -> Box:
    if label.badge:
        return box.grown(_AIR)
    return Box(box.left - _BESIDE, box.top - _AIR, box.right + _BESIDE, box.bottom + _AIR)


def _line(box: Box, place: Box) -> tuple[Point, Point]:
    """From the edge of the words to the edge of what they name."""

    def between(low: float, high: float, other: float) -> float:
        return min(max(other, low), high)

    middle = place.centre
    start = between(box.left, box.right, middle[0]), between(box.top, box.bottom, middle[1])
    end = between(place.left, place.right, start[0]), between(place.top, place.bottom, start[1])
    return start, end


def along(leader: tuple[Point, Point] | None) -> list[Box]:
    """Small boxes along a line to a label."""
    if leader is None:
        return []
    (x, y), (to_x, to_y) = leader
    count = max(1, int(max(abs(to_x - x), abs(to_y - y))))
    spots = [(x + (to_x - x) * at / count, y + (to_y - y) * at / count) for at in range(count)]
    return [Box(a, b, a, b).grown(0.4) for a, b in spots]
