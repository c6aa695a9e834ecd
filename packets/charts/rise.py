"""The vacuum rise on paper: minutes against vacuum, and what each shape of the line says.

Both scales are even. On paper with a logarithmic scale a leak, which climbs straight, bends as
water does, and the eye cannot tell them apart.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from packets.charts.axis import MINUTES, Axis, counted, number, plot
from packets.charts.ink import (
    BOLD,
    DASH_DOT,
    DASHED,
    DOTTED,
    GRID,
    HAIR,
    SMALL,
    THIN,
    Ink,
    Picture,
    Point,
)

WIDTH, HEIGHT = 84.0, 52.0
LEFT, RIGHT, TOP, BOTTOM = 11.0, 81.5, 5.5, 43.5
HATCH = 2.4
# Water's level is drawn while it is not more than so many times the limit: higher, the limit's
# line would lie on the axis.
MOST = 16.0
ABOVE = 1.3  # of water's level, so that a leak can be seen to pass it
SAMPLES = 24


@dataclass(frozen=True)
class Rise:
    """What the stand is judged by, in the units printed: `reads` and `stand` in minutes, the
    rest in `unit`. `water` is the level at which water at the coldest part stops the rise."""

    start: float
    limit: float
    water: float
    reads: Sequence[float]
    stand: float
    unit: str


def chart(rise: Rise) -> Picture:
    """The chart of one stand."""
    shown = rise.water <= MOST * rise.limit
    top = ABOVE * max(rise.water, 2 * rise.limit) if shown else 0.75 * MOST * rise.limit
    across = counted(0.0, rise.stand, LEFT, RIGHT, MINUTES)
    up = counted(0.0, top, BOTTOM, TOP)
    ink = Ink(WIDTH, HEIGHT)
    plot(ink, across, up)
    reads = [[(across.at(at), BOTTOM), (across.at(at), TOP)] for at in rise.reads]
    ink.strokes(reads, THIN, DOTTED, name="reads")
    curves = _curves(rise, across, up, shown)
    for curve in curves:
        ink.words(*curve.label, curve.words, SMALL, curve.anchor, clear=True)
    if not shown:
        words = f"water: near {number(rise.water)}, off the chart"
        ink.words(RIGHT - 1, TOP + 3.2, words, SMALL, "end", clear=True)
    for curve in curves:
        ink.path(curve.points, THIN, curve.dash, name=curve.name)
    _tight(ink, up.at(rise.limit), rise)
    ink.words(0.5, 3.4, f"Vacuum {rise.unit}", bold=True)
    ink.words(RIGHT, HEIGHT - 1.0, "Minutes, pump shut off", anchor="end", bold=True)
    ink.words(LEFT, HEIGHT - 1.0, "Mark each reading.")
    return ink.picture(
        "Vacuum rise chart",
        f"Vacuum, {rise.unit}, from 0 to {number(up.high)}, against minutes since the pump was shut"
        f" off, 0 to {number(across.high)}. Tight: {number(rise.limit)} or less after"
        f" {number(rise.stand)} minutes. Leak: a straight line. Water: a line that bends and"
        f" levels near {number(rise.water)}. Refrigerant out of the oil: levels lower.",
    )


@dataclass(frozen=True)
class _Curve:
    """A sample of one shape: its points [mm], its dashes, its words and where they stand."""

    name: str
    dash: str
    points: list[Point]
    words: str
    label: Point
    anchor: str = "end"


def _curves(rise: Rise, across: Axis, up: Axis, water: bool) -> list[_Curve]:
    """A leak always; water where its level is on the chart; oil where there is room for it."""
    end = across.high * (0.62 if water else 0.34)
    drawn = [(0.0, rise.start), (end, up.high)]
    line = [(across.at(x), up.at(y)) for x, y in drawn]
    high = TOP + (3.0 if water else 11.6)
    x = line[0][0] + (line[1][0] - line[0][0]) * (BOTTOM - high) / (BOTTOM - TOP)
    # Left of its line, or right of one that climbs too near to the scale.
    at, anchor = (x - 1.8, "end") if water else (x + 1.8, "start")
    curves = [_Curve("leak", DASH_DOT, line, "leak: straight", (at, high), anchor)]
    if water:
        words = f"water: levels near {number(rise.water)}"
        curves.append(_bend(("water", DASHED, words), rise.water, 14.0, rise, across, up))
    if rise.water > 3 * rise.limit:
        level = math.sqrt(rise.limit * min(rise.water, up.high))
        sample = ("oil", DOTTED, "oil: levels lower")
        curves.append(_bend(sample, level, 7.0, rise, across, up))
    return curves


def _bend(
    sample: tuple[str, str, str], level: float, halves: float, rise: Rise, across: Axis, up: Axis
) -> _Curve:
    """A curve that bends to a level, so many times half of the way that is left:
    p = level - (level - start) 2^(-t / half time). The sample is its name, dashes and words."""
    name, dash, words = sample
    points = []
    for at in range(SAMPLES + 1):
        minutes = across.high * (at / SAMPLES) ** 1.6
        value = level - (level - rise.start) * 2.0 ** (-minutes * halves / across.high)
        points.append((across.at(minutes), up.at(value)))
    return _Curve(name, dash, points, words, (RIGHT - 1, up.at(level) - 1.1))


def _tight(ink: Ink, y: float, rise: Rise) -> None:
    """The region under the limit, hatched on the slant, with the limit's line on it."""
    high = BOTTOM - y
    strokes = []
    x = LEFT
    while x < RIGHT:
        run = min(high, RIGHT - x)
        strokes.append([(x, BOTTOM), (x + run, BOTTOM - run)])
        x += HATCH
    ink.strokes(strokes, HAIR, colour=GRID, name="hatch")
    words = f"tight: {number(rise.limit)} or less"
    ink.words(RIGHT - 1, y - 1.1, words, SMALL, "end", bold=True, clear=True)
    ink.path([(LEFT, y), (RIGHT, y)], BOLD, name="limit")
