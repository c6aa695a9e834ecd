"""The crew's time: what is done in which wait, and how long the whole takes.

Sections follow each other. Work that fills waits is moved into the wait of another section where
that harms nothing: its needs hold there, nobody in between needs what it makes, it ends no fact,
and it may run beside what the other section does. A watch after the last flame runs on beside the
work and costs time only where the work is shorter.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True)
class Block:
    """One section as planned: minutes, what it does and what it asks. `fills`: it may be done in
    another section's wait, but not beside the acts in `not_beside`."""

    id: str
    hands_on: float
    waiting: float
    needs: frozenset[str] = frozenset()
    makes: frozenset[str] = frozenset()
    ends: frozenset[str] = frozenset()
    acts: frozenset[str] = frozenset()
    fills: bool = False
    not_beside: frozenset[str] = frozenset()


@dataclass(frozen=True)
class Watch:
    """A time that runs from the end of one section and must be over before another ends."""

    after: str
    before: str
    minutes: float


@dataclass(frozen=True)
class Fill:
    """Work done in the wait of another section, and the minutes that saves."""

    work: str
    during: str
    minutes: float


@dataclass(frozen=True)
class Schedule:
    """Minutes of the crew: elapsed from first to last, and what was filled into waits."""

    hands_on: float
    waiting: float
    elapsed: float
    fills: tuple[Fill, ...]
    # Minutes the crew stands by for a watch that the work does not cover.
    watching: float = 0.0


def schedule(
    blocks: Sequence[Block], start: frozenset[str] = frozenset(), watches: Sequence[Watch] = ()
) -> Schedule:
    """Place fill-in work into waits; where most is saved, of equals the nearest.

    Args:
        blocks: the sections in the order of work.
        start: facts that hold before the first.
        watches: times that run beside the work.

    >>> blocks = [
    ...     Block("clean", 30, 0, fills=True, not_beside=frozenset({"heats"})),
    ...     Block("braze", 40, 20, acts=frozenset({"heats"})),
    ...     Block("evacuate", 10, 60),
    ... ]
    >>> done = schedule(blocks)
    >>> done.elapsed, done.fills
    (130.0, (Fill(work='clean', during='evacuate', minutes=30.0),))
    """
    left = [block.waiting for block in blocks]
    place: dict[int, int] = {}
    fills: list[Fill] = []
    for at, block in enumerate(blocks):
        hosts = [to for to in range(len(blocks)) if _may(blocks, start, place, left, at, to)]
        if not hosts:
            continue
        best = max(hosts, key=lambda to: (min(left[to], block.hands_on), -abs(to - at)))
        saved = float(min(left[best], block.hands_on))
        left[best] -= saved
        place[at] = best
        fills.append(Fill(block.id, blocks[best].id, saved))
    watching = sum(_standing_by(blocks, fills, watch) for watch in watches)
    hands_on = float(sum(block.hands_on for block in blocks))
    waiting = float(sum(block.waiting for block in blocks))
    elapsed = hands_on + waiting - sum(fill.minutes for fill in fills) + watching
    return Schedule(hands_on, waiting, elapsed, tuple(fills), watching)


def _may(
    blocks: Sequence[Block],
    start: frozenset[str],
    place: dict[int, int],
    left: Sequence[float],
    at: int,
    to: int,
) -> bool:
    """Whether the work at `at` may be done in the wait of the section at `to`."""
    work, host = blocks[at], blocks[to]
    if not work.fills or work.hands_on <= 0 or work.waiting or work.ends:
        return False
    # A section whose own work was moved into a wait has none to give.
    if to == at or to in place or left[to] <= 0 or host.acts & work.not_beside:
        return False
    harm = _unmet(blocks, start, {**place, at: to}) - _unmet(blocks, start, place)
    return not harm


def _unmet(
    blocks: Sequence[Block], start: frozenset[str], place: dict[int, int]
) -> set[tuple[int, str]]:
    """Needs that do not hold when their section begins, with works done where `place` puts them:
    in a host's wait, after what the host ends and before what it makes."""
    held, found = set(start), set()
    for at, block in enumerate(blocks):
        if at in place:
            continue
        found |= {(at, fact) for fact in block.needs - held}
        held -= block.ends
        inside = [work for work, to in place.items() if to == at]
        found |= {(work, fact) for work in inside for fact in blocks[work].needs - held}
        held |= block.makes.union(*(blocks[work].makes for work in inside))
    return found


def _standing_by(blocks: Sequence[Block], fills: Sequence[Fill], watch: Watch) -> float:
    """What of a watch the work between its ends does not cover."""
    ids = [block.id for block in blocks]
    if watch.after not in ids or watch.before not in ids:
        return 0.0
    first, last = ids.index(watch.after), ids.index(watch.before)
    moved = {fill.work for fill in fills}
    between = sum(
        block.waiting + (0.0 if block.id in moved else block.hands_on)
        for block in blocks[first + 1 : last]
    )
    own = blocks[last].hands_on
    return max(0.0, watch.minutes - between - own)
