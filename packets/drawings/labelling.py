"""Where the words of a drawing go: beside what they name, touching nothing; farther off with a thin
line to it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import islice

from packets.drawings.labels import Label, Placement, Setting, along, line, settings
from packets.drawings.masks import Mask
from packets.drawings.spots import (
    ANY_HEIGHT,
    HAIR,
    NEAR,
    STEPS,
    Reach,
    anywhere,
    fits,
    near,
    within,
)

_ORDERS = 6  # in which labels are tried
_GRIDS = ((2, 2.0), (1, 0.5))  # mm down and across between places tried all over the sheet
_LOOKED_AT = 400  # free places, the nearest, to which a line is tried
_NAMELESS, _HIGHER = 14.0, 4.0  # a port without its name; a millimetre that makes a drawing higher
_STRAY = 12.0  # mm of a line beyond which a valve's state or a joint's number is not seen with it
_LONG = 8.0  # mm of a line beyond which each counts twice, and to a number a lot more
_LOST = 10.0
_LED, _THROUGH = 1.0, 100.0  # what a line to words counts: a millimetre; one through words


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
    further. Higher ranks go first; a label that others wall in or leave no room goes before them
    the next time. Where that comes out better, the words of arrows go first.
    """
    order = sorted(wanted, key=lambda one: -one.rank)
    masks = taken, solid, written
    best, took = _retried(order, points, masks, reach)
    hard = [one for one in order if one.rivals]
    if hard and (best.missed or best.cost(reach)):
        other, others = _retried(_first(hard, order), points, masks, reach)
        if (other.badness, other.cost(reach)) < (best.badness, best.cost(reach)):
            best, took = other, others
    for mask, now in zip(masks, took, strict=True):
        mask.rows[:] = now.rows
    return best.found, best.missed, best.strain


Masks = tuple[Mask, Mask, Mask]  # taken, solid and written


def _retried(
    order: Sequence[Label], points: float, masks: Masks, reach: Reach
) -> tuple[_Tried, Masks]:
    """The best of some orders, each with those first that found no good place in the one before."""
    best: tuple[_Tried, Masks] | None = None
    for _ in range(_ORDERS):
        taken, solid, written = (mask.copy() for mask in masks)
        tried = _in_order(order, points, taken, solid, written, reach)
        if best is None or tried.badness < best[0].badness:
            best = tried, (taken, solid, written)
        first = [*tried.missed, *tried.strays, *tried.walled_in]
        if not first:
            break
        order = _first(first, order)
    assert best is not None
    return best


def _first(some: Sequence[Label], order: Sequence[Label]) -> list[Label]:
    return [*dict.fromkeys(some), *(one for one in order if one not in some)]


@dataclass(frozen=True)
class _Tried:
    """What came of placing labels in one order; the walled in are those whose line runs over
    words."""

    found: list[Placement]
    missed: list[Label]
    walled_in: list[Label]

    @property
    def badness(self) -> tuple[int, int]:
        return len(self.missed), len(self.walled_in) + len(self.strays)

    @property
    def strays(self) -> list[Label]:
        """States of valves and numbers of joints that stand far off: each has to be seen with what
        it tells of."""
        return [
            one.label
            for one in self.found
            if (one.label.badge or (one.label.brief and not one.label.short))
            and _length(one) > _STRAY
        ]

    @property
    def strain(self) -> float:
        """What lines to words count: their length, and a lot if words lie under them."""
        long = sum(map(_length, self.found))
        return _LED * long + _THROUGH * len(self.walled_in)

    def cost(self, reach: Reach) -> float:
        """What counts beside: lines to words, ports without a name, a higher drawing."""
        nameless = sum(
            bool(one.label.short) and one.setting.said == one.label.brief for one in self.found
        )
        tops, feet = [one.box.top for one in self.found], [one.box.bottom for one in self.found]
        higher = max(reach[0] - min(tops, default=reach[0]), 0.0)
        higher += max(max(feet, default=reach[1]) - reach[1], 0.0)
        lines = [one.leader for one in self.found if one.leader]
        long = sum(max(abs(c - a) + abs(d - b) - _LONG, 0.0) for (a, b), (c, d) in lines)
        return (
            self.strain + long + _NAMELESS * nameless + (0.0 if higher < HAIR else _HIGHER * higher)
        )


def _length(one: Placement) -> float:
    """How long the line to words is, across and down [mm]."""
    if one.leader is None:
        return 0.0
    (x, y), (to_x, to_y) = one.leader
    return abs(to_x - x) + abs(to_y - y)


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
    shapes = settings(label.words, points, label.badge, bool(label.short))
    short = settings(label.short, points, narrow=True) if label.short else []
    brief = settings(label.brief, points) if label.brief else []
    for steps, some, level in _turns(label, shapes, short, brief):
        for _, setting, box, step in near(label, some, steps, reach):
            if (level or setting.narrow) and not within(box, reach):
                continue
            if not fits(label, box, taken, written):
                continue
            if step <= NEAR:
                return Placement(label, setting, box, None)
            led = line(box, label.place)
            if not written.crossed(led) and not solid.crossed(led, label.place.grown(1.5)):
                return Placement(label, setting, box, led)
    return (
        _anywhere(
            label, [one for one in shapes if not one.narrow][-1], taken, solid, written, reach
        )
        if label.needed
        else None
    )


def _turns(
    label: Label, shapes: list[Setting], short: list[Setting], brief: list[Setting]
) -> Iterator[tuple[Sequence[float], list[Setting], bool]]:
    """Distances and words in the order they are tried, and whether only where they make the drawing
    no higher. Words that have a short form say all, even off with a short line to them, before
    brief ones. A number is small, and a name that may fall away is not worth a line: they stand
    near, or a number at the nearest place in any direction."""
    by, led, off, far = STEPS[:3], STEPS[3:5], STEPS[3:7], STEPS[7:]
    level = bool(short) or label.badge or not label.needed
    yield from ((by, some, level) for some in (shapes, short))
    if label.badge:
        yield from ((led, shapes, True), (by, shapes, False))
    if label.badge or not label.needed:
        return
    if short:
        yield from ((led, some, level) for some in (shapes, short))
    yield by, brief, False
    yield from ((steps, some, False) for steps in (off, far) for some in (shapes, short, brief))


def _anywhere(
    label: Label, setting: Setting, taken: Mask, solid: Mask, written: Mask, reach: Reach
) -> Placement | None:
    """The nearest free place with a clear line to it; else one whose line runs over no words."""
    own, fair, any_ = label.place.grown(1.5), None, None
    for down, across in _GRIDS:
        for box in islice(anywhere(label, setting, taken, down, across, reach), _LOOKED_AT):
            if not fits(label, box, taken, written):
                continue
            led = line(box, label.place)
            found = Placement(label, setting, box, led)
            any_ = any_ or found
            if not written.crossed(led):
                if not solid.crossed(led, own):
                    return found
                fair = fair or found
        if fair:
            return fair
    return any_
