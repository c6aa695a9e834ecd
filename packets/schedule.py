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
    states = _states(blocks, start)
    left = {block.id: block.waiting for block in blocks}
    fills: list[Fill] = []
    for at, block in enumerate(blocks):
        if not block.fills or block.hands_on <= 0:
            continue
        hosts = [to for to in range(len(blocks)) if _may(blocks, states, at, to, left)]
        if not hosts:
            continue
        best = max(hosts, key=lambda to: (min(left[blocks[to].id], block.hands_on), -abs(to - at)))
        saved = float(min(left[blocks[best].id], block.hands_on))
        left[blocks[best].id] -= saved
        fills.append(Fill(block.id, blocks[best].id, saved))
    watching = sum(_standing_by(blocks, fills, watch) for watch in watches)
    hands_on = float(sum(block.hands_on for block in blocks))
    waiting = float(sum(block.waiting for block in blocks))
    elapsed = hands_on + waiting - sum(fill.minutes for fill in fills) + watching
    return Schedule(hands_on, waiting, elapsed, tuple(fills), watching)


def _states(blocks: Sequence[Block], start: frozenset[str]) -> list[frozenset[str]]:
    """The facts that hold while each section waits: after what it ends, before what it makes."""
    held, found = set(start), []
    for block in blocks:
        held -= block.ends
        found.append(frozenset(held))
        held |= block.makes
    return found


def _may(
    blocks: Sequence[Block],
    states: Sequence[frozenset[str]],
    at: int,
    to: int,
    left: dict[str, float],
) -> bool:
    """Whether the work at `at` may be done in the wait of the section at `to`."""
    work, host = blocks[at], blocks[to]
    if to == at or left[host.id] <= 0 or work.ends or work.waiting or host.acts & work.not_beside:
        return False
    # What this work itself made earlier does not count when it is done later.
    here = states[to] - (work.makes - _made_before(blocks, at, to))
    if not work.needs <= here:
        return False
    between = blocks[at + 1 : to + 1] if to > at else ()
    return not any(block.needs & work.makes for block in between)


def _made_before(blocks: Sequence[Block], at: int, to: int) -> frozenset[str]:
    """Facts that sections other than `at` make before `to`."""
    return frozenset(f for n, block in enumerate(blocks[:to]) if n != at for f in block.makes)


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
