"""A plot as SVG: what was added to a machine, over time. Black on white, bars with their values."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape

WIDTH, HEIGHT = 640.0, 150.0
LEFT, RIGHT, TOP, BOTTOM = 30.0, 60.0, 22.0, 26.0
_BAR, _APART = 9.0, 52.0


@dataclass(frozen=True)
class Bar:
    """So much added on one day [kg], and on which job."""

    day: date
    mass: float
    label: str


def added(bars: Sequence[Bar], full: float | None, text: Callable[[float], str]) -> str:
    """Bars of mass added against time; a dashed line marks the full charge when it is in reach.

    Args:
        bars: one or more, oldest first.
        full: full charge [kg], None when not known.
        text: how a mass is printed.
    """
    first, last = bars[0].day, bars[-1].day
    days = max((last - first).days, 1)
    most = max(bar.mass for bar in bars)
    top = max(most, full if full is not None and full <= 2.5 * most else 0.0) or 1.0
    floor = HEIGHT - BOTTOM

    def across(day: date) -> float:
        return LEFT + _BAR + (WIDTH - LEFT - RIGHT - 2 * _BAR) * (day - first).days / days

    def up(mass: float) -> float:
        return floor - (floor - TOP) * mass / top

    parts = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {WIDTH:g} {HEIGHT:g}"'
        f' width="{WIDTH:g}" height="{HEIGHT:g}" role="img">',
        "<title>Refrigerant added by date</title>",
        f'<path d="M{LEFT:g} {floor:g}H{WIDTH - RIGHT:g}" stroke="#000" stroke-width="1.2"/>',
    ]
    parts += [
        f'<path d="M{across(date(year, 1, 1)):.1f} {floor:g}v5" stroke="#000"/>'
        + _text(across(date(year, 1, 1)) + 3, floor + 12, str(year), "start")
        for year in range(first.year + 1, last.year + 1)
    ]
    if full is not None and full <= top:
        parts.append(
            f'<path d="M{LEFT:g} {up(full):.1f}H{WIDTH - RIGHT:g}" stroke="#000"'
            ' stroke-dasharray="5 4" stroke-width="0.8"/>'
            + _text(WIDTH - RIGHT + 4, up(full) + 4, "full", "start")
        )
    written = -_APART
    for bar in bars:
        x, y = across(bar.day), up(bar.mass)
        parts.append(
            f'<rect x="{x - _BAR / 2:.1f}" y="{y:.1f}" width="{_BAR:g}"'
            f' height="{max(floor - y, 0.8):.1f}" fill="#000"/>'
        )
        # A value that would lie on the one before is left to the table.
        if x - written >= _APART:
            parts.append(_text(x, y - 4, text(bar.mass), "middle"))
            parts.append(_text(x, floor + 22, bar.day.isoformat(), "middle"))
            written = x
    return "".join(parts) + "</svg>"


def _text(x: float, y: float, words: str, anchor: str) -> str:
    return (
        f'<text x="{x:.1f}" y="{y:.1f}" font-size="10" font-family="Packet"'
        f' text-anchor="{anchor}">{escape(words)}</text>'
    )
