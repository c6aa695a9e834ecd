"""Pressure beside saturation temperature on one straight scale, read across like a rule."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from packets.charts.axis import number
from packets.charts.ink import BOLD, HAIR, SMALL, USUAL, Ink, Picture

# The card goes across the page, a worksheet beside its table.
WIDTH, BESIDE = 166.0, 86.0
LEFT, EDGE = 24.0, 3.0
FINE, APART = 1.05, 8.0  # mm between the finest ticks, and between two numbers
ROW = 8.2  # mm that one scale takes
COUNTS = tuple(n * 10.0**k for k in range(5) for n in (1, 2, 5))


@dataclass(frozen=True)
class Side:
    """One scale of pressure: its name, and the saturation temperature of a pressure."""

    name: str
    temperature: Callable[[float], float]
    low: float
    high: float


@dataclass(frozen=True)
class Span:
    """The temperatures the scale reaches over, evenly spaced on paper."""

    low: float
    high: float
    width: float = WIDTH

    @property
    def right(self) -> float:
        """Where the highest temperature lies [mm]."""
        return self.width - EDGE

    def at(self, temperature: float) -> float:
        """Where a temperature lies [mm]."""
        return LEFT + (temperature - self.low) / (self.high - self.low) * (self.right - LEFT)


def span(low: float, high: float, width: float = WIDTH) -> Span:
    """A span inside these temperatures, from one number people count by to another."""
    step = next(s for s in COUNTS if (high - low) / s <= 16)
    ends = math.ceil(low / step - 1e-9) * step, math.floor(high / step + 1e-9) * step
    return Span(*ends, width)


def card(
    refrigerant: str, sides: Sequence[Side], span: Span, temperature_unit: str, pressure_unit: str
) -> Picture:
    """The pressure-temperature card: temperature in the middle, dew above it, bubble below.

    A refrigerant without glide has one side.
    """
    ink = Ink(WIDTH, 2 * ROW + 1 if len(sides) == 1 else 3 * ROW + 1)
    line = ROW + 0.5
    for side, above in zip(sides, (True, False), strict=False):
        _pressures(ink, side, span, line if above else line + ROW, above)
    _temperatures(ink, span, line, len(sides) == 1, temperature_unit)
    for side, y in zip(sides, (line - 3.0, line + ROW + 5.0), strict=False):
        ink.words(0, y, f"{side.name} {pressure_unit}", SMALL, bold=True)
    sides_said = " and ".join(side.name.lower() for side in sides)
    return ink.picture(
        f"Pressure-temperature card of {refrigerant}",
        f"{sides_said} pressure, {pressure_unit}, beside saturation temperature,"
        f" {number(span.low)} to {number(span.high)} {temperature_unit}.".capitalize(),
    )


@dataclass(frozen=True)
class Sheet:
    """A worksheet for superheat or subcooling: what is read, taken off, and what it may be."""

    name: str
    gauge: str
    line: str
    least: float
    most: float
    first: str
    second: str


def worksheet(
    refrigerant: str,
    side: Side,
    span: Span,
    sheet: Sheet,
    temperature_unit: str,
    pressure_unit: str,
    difference_unit: str,
) -> Picture:
    """One scale, and under it boxes in two rows: pressure and saturation temperature, line and
    difference."""
    ink = Ink(span.width, 2 * ROW + 28.0)
    line = ROW + 0.5
    _pressures(ink, side, span, line, above=True)
    _temperatures(ink, span, line, True, temperature_unit)
    ink.words(0, line - 3.0, f"{side.name} {pressure_unit}", SMALL, bold=True)
    allowed = f"{number(sheet.least)} to {number(sheet.most)} {difference_unit}"
    cells = [
        (f"{sheet.gauge} {pressure_unit}", ""),
        (f"{side.name} {temperature_unit}", "read above"),
        (f"{sheet.line} {temperature_unit}", ""),
        (f"{sheet.first} less {sheet.second}", allowed),
    ]
    for at, (above, beside) in enumerate(cells):
        x, top = at % 2 * 34.0, 2 * ROW + 2.5 + at // 2 * 12.8
        ink.words(x, top + 2.6, above, SMALL)
        ink.box(x, top + 4.0, 24, 8, name="write")
        if beside:
            ink.words(x + 25.5, top + 9.4, beside, USUAL, bold=at == len(cells) - 1)
    return ink.picture(
        f"{sheet.name} worksheet",
        f"{side.name} pressure of {refrigerant}, {pressure_unit}, beside saturation temperature,"
        f" {number(span.low)} to {number(span.high)} {temperature_unit}. Boxes for the pressure,"
        f" the {side.name.lower()} temperature, the line temperature and the difference:"
        f" {sheet.first} less {sheet.second}, {allowed}.",
    )


def _temperatures(ink: Ink, span: Span, line: float, last: bool, unit: str) -> None:
    """The even scale, its ticks below the line; on the last scale nothing stands under it."""
    gap = (span.right - LEFT) / (span.high - span.low)
    fine = next(step for step in COUNTS if step * gap >= FINE)
    said = next(step for step in COUNTS if step * gap >= 9.0 and step % fine == 0)
    half = said / 2 if said / 2 % fine == 0 else said
    ink.path([(LEFT, line), (span.right, line)], BOLD, name="line")
    ticks = []
    for at in range(math.ceil(span.low / fine), math.floor(span.high / fine) + 1):
        value = at * fine
        long = 2.4 if value % said == 0 else 1.8 if value % half == 0 else 1.1
        ticks.append([(span.at(value), line), (span.at(value), line + long)])
        if value % said == 0:
            text = number(value)
            ink.words(span.at(value), line + 5.2, text, SMALL, "middle", name="temperature")
    ink.strokes(ticks, HAIR, name="temperature-ticks")
    if not last:
        below = [[(x, line + ROW - 1.1), (x, line + ROW)] for ((x, _), _) in ticks]
        ink.strokes(below, HAIR)
        ink.path([(LEFT, line + ROW), (span.right, line + ROW)], BOLD)
    ink.words(0, line + 5.0, f"Saturation {unit}", SMALL, bold=True)


def _pressures(ink: Ink, side: Side, span: Span, line: float, above: bool) -> None:
    """The uneven scale: between one number and the next its ticks count evenly."""
    way = -1.0 if above else 1.0
    name = side.name.lower().rstrip(".")
    numbers, fine = _numbers(side, span)
    ticks = []
    for value in fine:
        x, long = span.at(side.temperature(value)), 2.4 if value in numbers else 1.2
        ticks.append([(x, line), (x, line + way * long)])
    ink.strokes(ticks, HAIR, name=f"{name}-ticks")
    for value in numbers:
        y = line - 3.1 if above else line + 5.2
        ink.words(span.at(side.temperature(value)), y, number(value), SMALL, "middle", name=name)


def _numbers(side: Side, span: Span) -> tuple[list[float], list[float]]:
    """The pressures with a number, and all with a tick, rising."""

    def far(low: float, high: float) -> float:
        ends = (span.at(side.temperature(min(max(p, side.low), side.high))) for p in (low, high))
        return abs(next(ends) - next(ends))

    def finest(low: float, step: float) -> float:
        """The count within a step whose ticks stand apart even at its upper, closer end."""
        fits = (f for f in COUNTS if step % f == 0 and far(low + step - f, low + step) >= FINE)
        return next(fits, step)

    step = next(s for s in COUNTS if far(side.low, side.low + s) >= APART)
    value = math.ceil(side.low / step) * step
    fine = finest(value - step, step)
    ticks = [value - fine * k for k in range(math.floor((value - side.low) / fine), 0, -1)]
    numbers = []
    while value <= side.high:
        numbers.append(value)
        fits = (s for s in COUNTS if value % s == 0 and far(value, value + s) >= APART)
        step = next((s for s in fits if value + s <= side.high), step)
        fine = finest(value, step) if value + step <= side.high else fine
        count = math.floor(min(step, side.high - value) / fine + 1e-9)
        ticks += [value + fine * k for k in range(count + (value + step > side.high))]
        value += step
    return numbers, ticks
