"""The places that one label could take: round what it names, or anywhere on the sheet."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import product
from math import inf

from packets.drawings.geometry import Box, gap
from packets.drawings.labels import Label, Setting
from packets.drawings.masks import Mask

NEAR = 2.6  # mm from what it names; farther off a label gets a line to it
STEPS = (0.7, 1.6, 2.6, 4.0, 6.0, 8.5, 11.5, 15.0, 19.0, 24.0, 30.0, 38.0)
_SLIDES = (0.5, 0.25, 0.75, 0.0, 1.0)
_FORTH, _BACK = (1.0, 0.75, 0.5, 0.25, 0.0), (0.0, 0.25, 0.5, 0.75, 1.0)
_LEANS = {
    "": _SLIDES,
    "e": (1.0, 1.1, *_FORTH[1:], -0.1, -0.2),
    "w": (0.0, -0.1, *_BACK[1:], 1.1, 1.2),
    "s": (1.0, 1.3, *_FORTH[1:]),
    "n": (0.0, -0.3, *_BACK[1:]),
}
HAIR = 0.5  # mm by which a name that may fall away makes a drawing higher
_TALLER = 0.8  # what a millimetre counts by which words make the drawing higher
_AIR = 0.35  # mm kept free above and below words, and more beside them
_BESIDE = 0.9
_APART = (1.5, 0.9)  # mm beside and above words of another label: closer they are read in one
_FROM_RIVAL = 4.0  # mm that words with a line to what they name keep from that
_NEARER = 1.1  # mm by which words are nearer to what they name than to what else they could

Reach = tuple[float, float]  # the top and the foot of what is drawn already [mm]
ANY_HEIGHT: Reach = (-inf, inf)


def near(
    label: Label, shapes: Sequence[Setting], steps: Sequence[float], reach: Reach
) -> list[tuple[float, Setting, Box, float]]:
    """Places at some distances, the best first."""
    found = []
    slides = _LEANS[label.lean]
    for setting in shapes:
        lines = 1.6 * (len(setting.lines) - len(label.words))
        for side, box, step, slide in _spots(label, setting, steps):
            cost = step * (1.0 if step <= NEAR else 1.6) + 0.5 * label.sides.index(side)
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


def anywhere(
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


def within(box: Box, reach: Reach) -> bool:
    """Whether words make the drawing no higher, but for a hair."""
    return box.top > reach[0] - HAIR and box.bottom < reach[1] + HAIR


def fits(label: Label, box: Box, taken: Mask, written: Mask) -> bool:
    """Whether words can stand there: on nothing, apart from other words, and so that it is plain
    what they name."""
    if not taken.free(_with_air(label, box)):
        return False
    if not label.badge and not written.free(_grown(box, *_APART)):
        return False
    own = gap(box, label.place)
    # A line to what they name tells too, if they don't stand beside the other.
    most = own + _NEARER if own <= NEAR else min(own + _NEARER, _FROM_RIVAL)
    return all(gap(box, rival) >= most for rival in label.rivals)


def _with_air(label: Label, box: Box) -> Box:
    """What a label keeps free round its words."""
    return box.grown(_AIR) if label.badge else _grown(box, _BESIDE, _AIR)


def _grown(box: Box, across: float, down: float) -> Box:
    return Box(box.left - across, box.top - down, box.right + across, box.bottom + down)
