"""Axes with grid lines at numbers a person counts by."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from packets.charts.ink import GRID, HAIR, SMALL, THIN, Ink, wide

# Grid lines stand at least so far apart [mm]: near the squares of ordinary graph paper.
SQUARE = 4.5
TICK = 1.0
# Numbers people count by; minutes go by fives, quarters and halves of an hour.
COUNTS: tuple[float, ...] = tuple(n * 10.0**k for k in range(-2, 7) for n in (1, 2, 5))
MINUTES: tuple[float, ...] = (1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 1440)


@dataclass(frozen=True)
class Axis:
    """A straight scale: `low` lies at `start` [mm], `high` at `end`; a grid line every `step`."""

    low: float
    high: float
    start: float
    end: float
    step: float

    def at(self, value: float) -> float:
        """Where a value lies [mm]."""
        return self.start + (value - self.low) / (self.high - self.low) * (self.end - self.start)

    def lines(self) -> list[float]:
        """The values with a grid line."""
        count = round((self.high - self.low) / self.step)
        return [self.low + at * self.step for at in range(count + 1)]

    def between(self) -> list[float]:
        """The values with a short tick between two grid lines, where there is room for any."""
        gap = abs(self.end - self.start) * self.step / (self.high - self.low)
        parts = next((n for n in (5, 2) if gap / n >= TICK), 1)
        if parts == 5 and round(self.step / 10 ** math.floor(math.log10(self.step))) == 2:
            parts = 4  # twos are halved and halved again
        return [
            value + self.step * part / parts
            for value in self.lines()[:-1]
            for part in range(1, parts)
        ]


def counted(
    low: float, high: float, start: float, end: float, counts: Sequence[float] = COUNTS
) -> Axis:
    """An axis that holds `low` to `high`, its ends on grid lines a square or more apart."""
    if not low < high:
        raise ValueError(f"an axis from {low:g} to {high:g} has no length")
    for step in counts:
        first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
        if abs(end - start) / (last - first) >= SQUARE:
            return Axis(first * step, last * step, start, end, step)
    raise ValueError(f"no grid for {low:g} to {high:g} on {abs(end - start):g} mm")


def plot(ink: Ink, across: Axis, up: Axis) -> None:
    """The grid, the frame, ticks and numbers of a plot; `up` starts at its bottom."""
    left, right, bottom, top = across.start, across.end, up.start, up.end
    grid = [[(across.at(x), bottom), (across.at(x), top)] for x in across.lines()]
    grid += [[(left, up.at(y)), (right, up.at(y))] for y in up.lines()]
    ink.strokes(grid, HAIR, colour=GRID, name="grid")
    ticks = [[(across.at(x), bottom), (across.at(x), bottom + TICK)] for x in across.between()]
    ticks += [[(left - TICK, up.at(y)), (left, up.at(y))] for y in up.between()]
    ink.strokes(ticks, HAIR, name="ticks")
    ink.path([(left, top), (left, bottom), (right, bottom)], THIN, name="frame")
    for x in _labelled(across, across=True):
        ink.words(across.at(x), bottom + 3.6, number(x), SMALL, "middle", name="across")
    for y in _labelled(up, across=False):
        ink.words(left - 1.4, up.at(y) + 0.36 * SMALL, number(y), SMALL, "end", name="up")


def _labelled(axis: Axis, across: bool) -> list[float]:
    """The grid values with a number: each, or every second, fourth, fifth for want of room."""
    lines = axis.lines()
    room = max(wide(number(value), SMALL) for value in lines) + 1.2 if across else SMALL + 0.4
    gap = abs(axis.end - axis.start) / (len(lines) - 1)
    every = next(n for n in (1, 2, 4, 5, 10, 20) if gap * n >= room)
    return [value for value in lines if round(value / axis.step) % every == 0]


def number(value: float) -> str:
    """A number on an axis, with a true minus sign."""
    return f"{value:.10g}".replace("-", "\N{MINUS SIGN}")
