"""The hold test on paper: gauge against pipe temperature, and the band the end must lie in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from packets.charts.axis import counted, number, plot
from packets.charts.ink import BOLD, HAIR, SMALL, THIN, USUAL, Ink, Picture, Point, wide

WIDTH, HEIGHT = 84.0, 52.0
LEFT, RIGHT, TOP, BOTTOM = 10.5, 81.5, 6.0, 43.5
HATCH = 1.6  # mm between the hatch lines of the band


@dataclass(frozen=True)
class Row:
    """At one pipe temperature: the printed ends of the band, and the pressure on the fill line."""

    temperature: float
    low: float
    high: float
    fill: float


def chart(rows: Sequence[Row], limit: float, temperature_unit: str, pressure_unit: str) -> Picture:
    """The chart of one hold test.

    All in the units named. `rows` rise in temperature. The fill line is the line of constant
    volume through the limit at the hottest pipe. The band runs straight from row to row, as it is
    judged (`model.limits`), so that chart, table and judgement allow the same.
    """
    across = counted(rows[0].temperature, rows[-1].temperature, LEFT, RIGHT)
    lowest = min(row.low for row in rows)
    highest = max(limit, *(row.high for row in rows))
    up = counted(lowest, highest + 0.05 * (highest - lowest), BOTTOM, TOP)
    low = [(row.temperature, row.low) for row in rows]
    high = [(row.temperature, row.high) for row in rows]
    ink = Ink(WIDTH, HEIGHT)
    plot(ink, across, up)

    def placed(points: Sequence[Point]) -> list[Point]:
        return [(across.at(x), up.at(y)) for x, y in points]

    bottom, top = placed(low), placed(high)
    ink.strokes(_hatch(bottom, top), HAIR, name="hatch")
    ink.path(bottom, THIN, name="low")
    ink.path(top, THIN, name="high")
    ink.path(placed([(row.temperature, row.fill) for row in rows]), BOLD, "1.6 0.8", name="fill")
    _limit(ink, up.at(limit), limit, pressure_unit, top)
    _under(ink, bottom)
    _legend(ink, pressure_unit, temperature_unit)
    first, last = rows[0], rows[-1]
    return ink.picture(
        "Hold test chart",
        f"Gauge, {pressure_unit}, against pipe temperature, {temperature_unit}. Allowed at the end:"
        f" {number(first.low)} to {number(first.high)} at {number(first.temperature)}, rising to"
        f" {number(last.low)} to {number(last.high)} at {number(last.temperature)}. Never above"
        f" {number(limit)}. The table of fill pressures holds the same numbers.",
    )


def _hatch(low: Sequence[Point], high: Sequence[Point]) -> list[list[Point]]:
    """Upright strokes from edge to edge."""
    strokes = []
    x = low[0][0] + HATCH / 2
    while x < low[-1][0]:
        strokes.append([(x, _height(low, x)), (x, _height(high, x))])
        x += HATCH
    return strokes


def _height(points: Sequence[Point], x: float) -> float:
    for (x0, y0), (x1, y1) in pairwise(points):
        if x0 <= x <= x1 and x1 > x0:
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    raise ValueError(f"{x:g} lies on neither side")


def _limit(ink: Ink, y: float, limit: float, unit: str, band: Sequence[Point]) -> None:
    """The limit's line; its words under it where the band leaves room, and on it where not."""
    ink.path([(LEFT, y), (RIGHT, y)], BOLD, name="limit")
    said = f"never above {number(limit)} {unit}"
    over = "over: a reading is wrong"
    beyond = LEFT + 1.6 + max(wide(said, SMALL, True), wide(over, SMALL))
    room = min((at for x, at in band if x <= beyond), default=BOTTOM) - y
    lines = [(said, True), (over, False)] if room > 8.5 else [(said, True)]
    for at, (words, bold) in enumerate(lines):
        base = y + 3.4 + 3.8 * at if room > 4.7 else y - 0.9
        ink.words(LEFT + 1.0, base, words, SMALL, bold=bold, clear=True)


def _under(ink: Ink, band: Sequence[Point]) -> None:
    words = "under: leak"
    before = RIGHT - 1.6 - wide(words, SMALL)
    if max((at for x, at in band if x >= before), default=TOP) < BOTTOM - 4.7:
        ink.words(RIGHT - 1.0, BOTTOM - 1.4, words, SMALL, "end", clear=True)


def _legend(ink: Ink, pressure_unit: str, temperature_unit: str) -> None:
    ink.words(0.5, 3.6, f"Gauge {pressure_unit}", bold=True)
    x = 38.0
    ink.path([(x, 2.6), (x + 6, 2.6)], BOLD, "1.6 0.8")
    ink.words(x + 7, 3.6, "fill")
    x += 8 + wide("fill ", USUAL)
    ink.box(x, 1.0, 6, 3.2)
    ink.strokes([[(x + 1 + 1.3 * k, 1.0), (x + 1 + 1.3 * k, 4.2)] for k in range(4)], HAIR)
    ink.words(x + 7, 3.6, "end reads")
    ink.words(RIGHT, HEIGHT - 1.2, f"Pipe {temperature_unit}", anchor="end", bold=True)
    ink.words(LEFT, HEIGHT - 1.2, "Mark start S and end E.")
