"""Where the drawings of each section stand: beside the steps they are for, or together as a plate.

Every way a section can be set is tried on the page where it begins; of all packets made so, the one
with the fewest pages wins, then the one with the least paper. Heights are estimates (`heights`), so
a way is held to fit only with a little room to spare.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from packets import heights
from packets.model.packet import CircuitFigure, Figure, Section, Step

# Between the steps and the drawing beside them [mm].
GAP = 3.0
# A row of steps beside a drawing is kept whole, so it may not come near a page's height.
MOST = 170.0
# What an estimated page leaves free; and how much paper a drawing at its own step may cost more.
SPARE, NEARER = 1.0, 250.0
# How many ends are followed from section to section.
WAYS = 60
# Steps stand beside a drawing only if it takes less than 1/1.8 of the width.
SHARE = 1.8


@dataclass(frozen=True)
class Block:
    """What stays together: one step; one step with its own drawing in it, at the right of its
    words; steps with drawings at their right; or a plate, kept with the step before it if `after`,
    else with the step that follows."""

    steps: tuple[Step, ...] = ()
    own: tuple[Figure, ...] = ()
    beside: tuple[Figure, ...] = ()
    plate: tuple[Figure, ...] = ()
    after: bool = False

    @property
    def wide(self) -> float:
        """The width [mm] of the drawings beside the steps."""
        return wide(self.beside)


@dataclass(frozen=True)
class Sheet:
    """A page's text [mm] and the templates' words."""

    across: float
    high: float
    words: heights.Words


class Tape:
    """Measures steps, each once for a width: they stand in many ways and are the same in all."""

    def __init__(self, words: heights.Words) -> None:
        """Nothing is measured yet; `words` are the templates'."""
        self.words = words
        self._known: dict[tuple[int, float], float] = {}

    def whole(self, step: Step, across: float) -> float:
        """As `heights.whole`; the step must outlive the tape."""
        key = id(step), across
        if key not in self._known:
            self._known[key] = heights.whole(step, across, self.words)
        return self._known[key]


def spread(
    sections: Sequence[Section], sheet: Sheet, after: float = 0.0, begun: float = 0.0
) -> list[tuple[Block, ...]]:
    """The blocks of each section in printing order.

    `begun` is how far [mm] the first of them is from the top of its page; `after` how high what
    follows the last section stands, all of it on one page.
    """
    tape = Tape(sheet.words)
    held: dict[int, _Sofar] = {0: _Sofar(begun, 0.0, ())}
    for section in sections:
        tried = [
            (way, _heights(section, way, sheet, tape)) for way in ways(section, sheet.across, tape)
        ]
        held = _best(
            _Sofar(
                _end(pieces, sofar.end, sheet),
                sofar.worth + (NEARER if _own(way) else 0.0),
                (*sofar.ways, way),
            )
            for sofar in held.values()
            for way, pieces in tried
        )
    # Fewest pages, then least paper; a drawing at its own step is worth some.
    best = min(
        held.values(),
        key=lambda one: (_added(one.end, after, sheet) // sheet.high, one.end - one.worth),
    )
    return list(best.ways)


@dataclass(frozen=True)
class _Sofar:
    """The sections set until here: where they end [mm], what their way is worth, the ways."""

    end: float
    worth: float
    ways: tuple[tuple[Block, ...], ...]


def _best(found: Iterable[_Sofar]) -> dict[int, _Sofar]:
    """For each whole millimetre at which the sections may end the best way; of those
    the soonest, less what they are worth."""
    kept: dict[int, _Sofar] = {}
    for one in found:
        at = math.ceil(one.end)
        if at not in kept or one.worth > kept[at].worth:
            kept[at] = one
    first = sorted(kept, key=lambda at: kept[at].end - kept[at].worth)
    return {at: kept[at] for at in first[:WAYS]}


def ways(section: Section, across: float, tape: Tape) -> list[tuple[Block, ...]]:
    """All ways to set a section's drawings among its steps, on a page with text so wide [mm]: the
    drawing of a hook-up always on the page of the step that joins it."""
    steps, figures = section.steps, section.figures
    if not figures or not steps:
        return [tuple(_alone(steps))]
    used = next((at for at, step in enumerate(steps) if step.route or step.hooks_up), 0)
    found = [(*_alone(steps[:used]), Block(plate=figures), *_alone(steps[used:]))]
    if not steps[used].route:
        plate = Block(plate=figures, after=True)
        found.append((*_alone(steps[: used + 1]), plate, *_alone(steps[used + 1 :])))
    if wide(figures) + GAP >= across / SHARE:
        return found
    own = _each_at_its_step(steps, figures, across, tape)
    found += [own] if own else []
    found += _in_one_step(steps, figures, used, across, tape)
    for first, last in _windows(steps, figures, across, used, tape):
        before, after = steps[:first], steps[last:]
        beside = Block(steps[first:last], beside=figures)
        found.append((*_alone(before), beside, *_alone(after)))
    return found


def wide(figures: Sequence[Figure]) -> float:
    """The width [mm] of drawings that stand one under the other."""
    return max(figure.width_mm for figure in figures)


def narrow(figures: Sequence[Figure], across: float) -> float:
    """The width [mm] that is left for the steps beside drawings."""
    return across - wide(figures) - GAP


def _alone(steps: Sequence[Step]) -> list[Block]:
    return [Block((step,)) for step in steps]


def _own(way: Sequence[Block]) -> bool:
    """Whether each joint's drawing stands at the step that makes it."""
    return any(block.own and block.steps[0].route for block in way)


def _in_one_step(
    steps: Sequence[Step], figures: Sequence[CircuitFigure], at: int, across: float, tape: Tape
) -> Iterator[tuple[Block, ...]]:
    """A hook-up's drawing in the step that joins it, beside its words and under its cautions."""
    step = steps[at]
    if len(figures) != 1 or figures[0].joints or step.table or step.chart or step.route:
        return
    block = Block((step,), own=tuple(figures))
    if _pieces(block, across, tape)[0] <= MOST:
        yield (*_alone(steps[:at]), block, *_alone(steps[at + 1 :]))


def _each_at_its_step(
    steps: Sequence[Step], figures: Sequence[CircuitFigure], across: float, tape: Tape
) -> tuple[Block, ...] | None:
    """Each joint's drawing beside the step that makes it; None where that cannot be."""
    routed = [at for at, step in enumerate(steps) if step.route]
    stood: dict[int, CircuitFigure] = {}
    at = 0
    for figure in figures:
        if at >= len(routed) or not figure.joints:
            return None
        stood[routed[at]] = figure
        at += figure.joints
    found = tuple(
        Block((step,), own=(stood[where],) if where in stood else ())
        for where, step in enumerate(steps)
    )
    if any(
        steps[where].chart or steps[where].table or _pieces(found[where], across, tape)[0] > MOST
        for where in stood
    ):
        return None
    return found


def _windows(
    steps: Sequence[Step], figures: Sequence[Figure], across: float, used: int, tape: Tape
) -> Iterator[tuple[int, int]]:
    """From and to which step the drawings may stand beside them: where they are used. Drawings of
    joints stand in their steps or as a plate, for beside earlier steps a page might end between."""
    if steps[used].route:
        return
    room, high = narrow(figures, across), heights.figures(figures)
    for first in range(used + 1):
        stood = 0.0
        for last in range(first + 1, len(steps) + 1):
            step = steps[last - 1]
            stood += tape.whole(step, room)
            if step.table or step.chart or step.route or step.sign or max(stood, high) > MOST:
                break
            if last > used:
                yield first, last


def _heights(section: Section, way: Sequence[Block], sheet: Sheet, tape: Tape) -> list[float]:
    """The heights [mm] of a section's pieces, with its title and its end."""
    pieces: list[float] = []
    plate = False
    for block in way:
        first, *rest = _pieces(block, sheet.across, tape)
        # The last drawings of a plate stand on the page of the step they are for.
        joined = plate or block.after
        pieces[len(pieces) - joined :] = [first + (pieces[-1] if joined else 0.0), *rest]
        plate = bool(block.plate) and not block.after
    pieces[0] += heights.head(section, sheet.words, sheet.across)
    pieces[-1] += heights.stop(section, sheet.words, sheet.across)
    return pieces


def _end(pieces: Sequence[float], begun: float, sheet: Sheet) -> float:
    """Where on the roll of pages [mm] a section of such pieces ends that begins at `begun`."""
    end = begun
    for piece in pieces:
        end = _added(end, piece, sheet)
    return end + heights.AFTER


def _added(end: float, piece: float, sheet: Sheet) -> float:
    """Where a piece ends that starts at `end` or, where it has no room there, on the next page."""
    left = sheet.high - end % sheet.high
    return end + (piece if piece <= left - SPARE else left + piece)


def _pieces(block: Block, across: float, tape: Tape) -> list[float]:
    """The heights [mm] between which a page may end."""
    if block.plate:
        return heights.rows(block.plate, across)
    if block.own:
        room = narrow(block.own, across)
        return [heights.drawn(block.steps[0], block.own[0], across, room, tape.words)]
    if not block.beside:
        return [tape.whole(step, across) for step in block.steps]
    room = narrow(block.beside, across)
    steps = sum(tape.whole(step, room) for step in block.steps)
    return [max(steps, heights.figures(block.beside))]
