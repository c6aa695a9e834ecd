"""What symbols are made of: strokes and circles, in lattice steps round a middle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import cos, pi, sin

from packets.drawings.geometry import Box, Point

NONE, WHITE, BLACK = "none", "#fff", "#000"


@dataclass(frozen=True)
class Stroke:
    """A bent line or, closed, an outline. `weight` is against the symbol's own line."""

    points: tuple[Point, ...]
    closed: bool = False
    fill: str = NONE
    weight: float = 1.0


@dataclass(frozen=True)
class Round:
    """A circle."""

    at: Point
    radius: float
    fill: str = WHITE
    weight: float = 1.0


Mark = Stroke | Round


@dataclass(frozen=True)
class Shape:
    """A symbol: what it covers, how far out along its axis its ports lie, and its marks."""

    body: Box
    reach: int
    marks: tuple[Mark, ...]

    def times(self, factor: float) -> Shape:
        """The same symbol bigger, its ports where they were."""
        return Shape(
            self.body.times(factor), self.reach, tuple(_times(one, factor) for one in self.marks)
        )


def _times(one: Mark, factor: float) -> Mark:
    if isinstance(one, Round):
        at = (one.at[0] * factor, one.at[1] * factor)
        return replace(one, at=at, radius=one.radius * factor)
    return replace(one, points=tuple((x * factor, y * factor) for x, y in one.points))


def line(*points: Point, weight: float = 1.0) -> Stroke:
    """An open stroke."""
    return Stroke(points, weight=weight)


def area(*points: Point, fill: str = WHITE) -> Stroke:
    """A closed outline."""
    return Stroke(points, closed=True, fill=fill)


def rectangle(box: Box, fill: str = WHITE) -> Stroke:
    """A box as an outline."""
    left, top, right, bottom = box
    return area((left, top), (right, top), (right, bottom), (left, bottom), fill=fill)


def arc(at: Point, radius: Point, start: float, end: float, steps: int = 12) -> tuple[Point, ...]:
    """Points along an ellipse, angles in half turns, clockwise from the east."""
    turns = [pi * (start + (end - start) * step / steps) for step in range(steps + 1)]
    return tuple((at[0] + radius[0] * cos(t), at[1] + radius[1] * sin(t)) for t in turns)


def capsule(box: Box) -> Stroke:
    """A vessel with round ends, its length from left to right."""
    half = (box.bottom - box.top) / 2
    middle = (box.top + box.bottom) / 2
    right = arc((box.right - half, middle), (half, half), -0.5, 0.5)
    left = arc((box.left + half, middle), (half, half), 0.5, 1.5)
    return area(*right, *left)


def hatched(box: Box) -> tuple[Mark, ...]:
    """A can filled with desiccant."""
    (middle, _), high = box.centre, box.bottom - box.top
    slopes = (middle - 0.85, middle + 0.05, middle + 0.95)
    return (
        rectangle(box),
        *(line((at - high / 4, box.bottom), (at + high / 4, box.top), weight=0.7) for at in slopes),
    )


def joined(*groups: Sequence[Mark]) -> tuple[Mark, ...]:
    """Marks one after the other."""
    return tuple(mark for group in groups for mark in group)
