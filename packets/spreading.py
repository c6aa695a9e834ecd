"""Where the drawings of a section stand: beside the steps they are for, or together as a plate.

Drawings stand at the right of the first steps, one under the other, when that saves height; else
several stand in rows before the first step that is done by them. Heights are estimates, as in
`fitting`.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packets.fitting import LINE, height
from packets.lettering import BODY, lines, said
from packets.model.packet import Caution, Figure, Section, Step

# Between the steps and the drawing beside them, and what a caution's frame and signal take [mm].
GAP = 3.0
SIGNAL, FRAME, CAUTION_LINE = 22.4, 2.0, 1.16 * BODY
STEP_EDGE, SIGNED, GROUP = 0.9, 14.0, 5.6
# A drawing's caption, and the room between two in a row.
CAPTION, BETWEEN = 4.0, 1.4
# A row of steps beside a drawing is kept whole, so it may not come near a page's height.
MOST = 170.0


@dataclass(frozen=True)
class Block:
    """What stays together: one step; steps with drawings at their right; or a plate."""

    steps: tuple[Step, ...] = ()
    beside: tuple[Figure, ...] = ()
    plate: tuple[Figure, ...] = ()

    @property
    def wide(self) -> float:
        """The width [mm] of the drawings beside the steps."""
        return wide(self.beside)


def blocks(section: Section, across: float) -> list[Block]:
    """The blocks of a section in printing order, on a page with text so wide [mm]."""
    steps, figures = section.steps, section.figures
    if figures and wide(figures) + GAP < across / 1.8:
        first, last = _beside(steps, figures, across)
        if last > first:
            return [
                *(Block((step,)) for step in steps[:first]),
                Block(steps[first:last], figures),
                *(Block((step,)) for step in steps[last:]),
            ]
    found = [Block((step,)) for step in steps]
    if figures:
        used = next((at for at, step in enumerate(steps) if step.route), 0)
        found.insert(max(used, 1 if len(steps) > 1 else 0), Block(plate=figures))
    return found


def wide(figures: Sequence[Figure]) -> float:
    """The width [mm] of drawings that stand one under the other."""
    return max(figure.width_mm for figure in figures)


def narrow(figures: Sequence[Figure], across: float) -> float:
    """The width [mm] that is left for the steps beside drawings."""
    return across - wide(figures) - GAP


def _beside(steps: Sequence[Step], figures: Sequence[Figure], across: float) -> tuple[int, int]:
    """From and to which step the drawings stand beside them: where the section is lowest."""
    room, high = narrow(figures, across), sum(figure.height_mm + CAPTION for figure in figures)
    whole = [_whole(step, across) for step in steps]
    best = (sum(whole) + _plate(figures, across), 0, 0)
    for first in range(min(2, len(steps))):
        stack = 0.0
        for last in range(first + 1, len(steps) + 1):
            step = steps[last - 1]
            if step.table or step.chart or step.route:
                break
            stack += _whole(step, room)
            row = max(high, stack)
            if row > MOST:
                break
            rest = sum(whole[:first]) + sum(whole[last:])
            best = min(best, (rest + row, first, last))
    return best[1:]


def _plate(figures: Sequence[Figure], across: float) -> float:
    """How high drawings of one width stand in rows."""
    count = max(1, int((across + BETWEEN) // (wide(figures) + BETWEEN)))
    rows = (figures[at : at + count] for at in range(0, len(figures), count))
    return sum(max(figure.height_mm for figure in row) + CAPTION for row in rows)


def _whole(step: Step, across: float) -> float:
    """About how high a step stands with all that belongs to it [mm]."""
    found = height(step, across) + STEP_EDGE
    found += sum(_caution(one, across) for one in step.cautions)
    found += (SIGNED if step.sign else 0.0) + (GROUP if step.group_title else 0.0)
    return found + (2 * LINE if step.route else 0.0)


def _caution(one: Caution, across: float) -> float:
    words = said(f"{one.hazard} {one.consequence} {one.avoidance} {one.defer}")
    return FRAME + max(2, lines(words, across - SIGNAL - FRAME)) * CAUTION_LINE
