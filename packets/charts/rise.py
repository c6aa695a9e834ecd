"""The vacuum rise on paper: minutes against vacuum, and what each shape of the line says.

Both scales are even. On paper with a logarithmic scale a leak, which climbs straight, bends as
water does, and the eye cannot tell them apart. Where water levels so high that the limit would lie
on the axis, a strip with a coarser scale stands on top, so that its level is on the paper too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from packets.charts.axis import COUNTS, MINUTES, Axis, counted, number, plot
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
# One scale holds water's level while it is not more than so many times the limit: higher, the
# limit's line would lie on the axis.
MOST = 16.0
STRIP = 8.0  # mm of the chart that a coarser scale takes above the other
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


@dataclass(frozen=True)
class _Up:
    """The upright scale: even, or even twice, with a coarser `strip` above the `main` one."""

    main: Axis
    strip: Axis | None

    @property
    def top(self) -> float:
        """The highest reading that the paper holds."""
        return self.strip.high if self.strip else self.main.high

    def at(self, value: float) -> float:
        """Where a reading lies [mm]."""
        return (
            self.strip.at(value) if self.strip and value > self.main.high else self.main.at(value)
        )


def chart(rise: Rise) -> Picture:
    """The chart of one stand."""
    across, up = counted(0.0, rise.stand, LEFT, RIGHT, MINUTES), _up(rise)
    ink = Ink(WIDTH, HEIGHT)
    plot(ink, across, up.main)
    if up.strip:
        _strip(ink, across, up.strip)
    reads = [[(across.at(at), BOTTOM), (across.at(at), TOP)] for at in rise.reads]
    ink.strokes(reads, THIN, DOTTED, name="reads")
    curves = _curves(rise, across, up)
    for curve in curves:
        ink.words(*curve.label, curve.words, SMALL, curve.anchor, clear=True)
    for curve in curves:
        ink.path(curve.points, THIN, curve.dash, name=curve.name)
    _tight(ink, up.main.at(rise.limit), rise)
    ink.words(0.5, 3.4, f"Vacuum {rise.unit}", bold=True)
    ink.words(RIGHT, HEIGHT - 1.0, "Minutes, pump shut off", anchor="end", bold=True)
    ink.words(LEFT, HEIGHT - 1.0, "Mark each reading.")
    coarser = f"coarser scale above {number(up.main.high)}" if up.strip else ""
    if coarser:
        ink.words(RIGHT, 3.4, coarser, SMALL, "end")
    return ink.picture(
        "Vacuum rise chart",
        f"Vacuum, {rise.unit}, from 0 to {number(up.top)}{', ' if coarser else ''}{coarser},"
        f" against minutes since the pump"
        f" was shut off, 0 to {number(across.high)}. Tight: {number(rise.limit)} or less after"
        f" {number(rise.stand)} minutes. Leak: a straight line. Water: a line that bends and"
        f" levels near {number(rise.water)}. A level under that: undecided.",
    )


def _up(rise: Rise) -> _Up:
    """The upright scale, or two, so that both the limit and water's level can be drawn to."""
    if rise.water <= MOST * rise.limit:
        return _Up(counted(0.0, ABOVE * max(rise.water, 2 * rise.limit), BOTTOM, TOP), None)
    main = counted(0.0, 0.75 * MOST * rise.limit, BOTTOM, TOP + STRIP)
    most = 1.1 * rise.water
    step = next(step for step in COUNTS if math.ceil(most / step) * SMALL <= 2 * STRIP)
    high = math.ceil(most / step) * step
    return _Up(main, Axis(main.high, high, main.end, TOP, step))


def _strip(ink: Ink, across: Axis, strip: Axis) -> None:
    """The coarser scale: grid, frame and numbers, and a line where it begins."""
    first = math.floor(strip.low / strip.step + 1e-9) + 1
    values = [step * strip.step for step in range(first, round(strip.high / strip.step) + 1)]
    grid = [[(LEFT, strip.at(y)), (RIGHT, strip.at(y))] for y in values]
    grid += [[(across.at(x), strip.start), (across.at(x), TOP)] for x in across.lines()]
    ink.strokes(grid, HAIR, colour=GRID, name="strip-grid")
    ink.path([(LEFT, TOP), (LEFT, strip.start)], THIN, name="strip-frame")
    ink.path([(LEFT, strip.start), (RIGHT, strip.start)], THIN, name="strip-start")
    said = strip.start
    for y in (strip.high, *values[-2::-1]):
        # The number where it begins stands already, the top one always finds room above it.
        room = SMALL + 0.3
        if y == strip.high or (said - strip.at(y) > room and strip.at(y) - TOP > room):
            ink.words(
                LEFT - 1.4, strip.at(y) + 0.36 * SMALL, number(y), SMALL, "end", name="strip-up"
            )
            said = said if y == strip.high else strip.at(y)


@dataclass(frozen=True)
class _Curve:
    """A sample of one shape: its points [mm], its dashes, its words and where they stand."""

    name: str
    dash: str
    points: list[Point]
    words: str
    label: Point
    anchor: str = "end"


def _curves(rise: Rise, across: Axis, up: _Up) -> list[_Curve]:
    """A leak and water always; a level under water's where there is room for it."""
    main, low = up.main, up.strip is not None
    end = across.high * (0.34 if low else 0.62)
    drawn = [(0.0, rise.start), (end, main.high)]
    line = [(across.at(x), main.at(y)) for x, y in drawn]
    high = main.end + (9.5 if low else 3.0)
    x = line[0][0] + (line[1][0] - line[0][0]) * (BOTTOM - high) / (BOTTOM - main.end)
    # Left of its line, or right of one that climbs too near to the scale.
    at, anchor = (x + 1.8, "start") if low else (x - 1.8, "end")
    curves = [_Curve("leak", DASH_DOT, line, "leak: straight", (at, high), anchor)]
    words = f"water: levels near {number(rise.water)}"
    curves.append(_bend(("water", DASHED, words), rise.water, 14.0, rise, across, up))
    if rise.water > 3 * rise.limit:
        level = math.sqrt(rise.limit * min(rise.water, main.high))
        sample = ("lower", DOTTED, "undecided: levels lower")
        curves.append(_bend(sample, level, 7.0, rise, across, up))
    return curves


def _bend(
    sample: tuple[str, str, str], level: float, halves: float, rise: Rise, across: Axis, up: _Up
) -> _Curve:
    """A curve that bends to a level, so many times half of the way that is left:
    p = level - (level - start) 2^(-t / half time). The sample is its name, dashes and words."""
    name, dash, words = sample
    half = across.high / halves
    times = [across.high * (at / SAMPLES) ** 1.6 for at in range(SAMPLES + 1)]
    if level > up.main.high:
        # It has a corner where the scale changes.
        times.append(half * math.log2((level - rise.start) / (level - up.main.high)))
    points = [
        (across.at(at), up.at(level - (level - rise.start) * 2.0 ** (-at / half)))
        for at in sorted(times)
    ]
    # In the strip the words stand under the line, where the higher level leaves room.
    below = level > up.main.high
    y = up.at(level) + (0.86 * SMALL + 0.4 if below else -1.1)
    return _Curve(name, dash, points, words, (RIGHT - 1, y))


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
