"""Where the words of a drawing go: beside what they name, touching nothing; farther off with a thin
line to it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import islice, product

from packets.drawings.labels import Label, Placement, Setting, along, line, settings
from packets.drawings.masks import Mask
from packets.drawings.spots import ANY_HEIGHT, NEAR, STEPS, Reach, anywhere, near, with_air, within

_ORDERS = 6  # in which labels are tried
_GRIDS = ((2, 2.0), (1, 0.5))  # mm down and across between places tried all over the sheet
_LOOKED_AT = 400  # free places, the nearest, to which a line is tried
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
    far = (STEPS[3:7], STEPS[7:]) if label.needed and not label.badge else ()
    for steps, some in product((STEPS[:3], *far), (shapes, brief)):
        for _, setting, box, step in near(label, some, steps, reach):
            if not (label.needed or within(box, reach)) or not taken.free(with_air(label, box)):
                continue
            if step <= NEAR:
                return Placement(label, setting, box, None)
            led = line(box, label.place)
            if not written.crossed(led) and not solid.crossed(led, label.place.grown(1.5)):
                return Placement(label, setting, box, led)
    return _anywhere(label, shapes[-1], taken, solid, written, reach) if label.needed else None


def _anywhere(
    label: Label, setting: Setting, taken: Mask, solid: Mask, written: Mask, reach: Reach
) -> Placement | None:
    """The nearest free place with a clear line to it; else one whose line runs over no words."""
    own, fair, any_ = label.place.grown(1.5), None, None
    for down, across in _GRIDS:
        for box in islice(anywhere(label, setting, taken, down, across, reach), _LOOKED_AT):
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
