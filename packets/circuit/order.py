"""The order in which joints are made: the best one that never leaves a joint without its gas.

Weighed in this way: first that every joint gets all the flow, or enough of it, with the drier the
last part to be opened; then joints made in the open, then few changes of the hook-up. A pressed
joint is taken only where nothing else is left.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from heapq import heappop, heappush

from packets.circuit import kinds
from packets.circuit.openings import Made
from packets.circuit.routes import Finder, Grade, Hookup

# What one change or shortcoming weighs against another.
_INLET, _VENT, _VALVES = 3, 2, 3
_TIGHT, _LIFTS, _CORE, _EARLY = 12, 4, 1, 1

_RANK = {"suction-drier": 1, "filter-drier": 2}


@dataclass(frozen=True)
class Rule:
    """What an attempt holds to: the drier last, one part after the other, the worst grade taken."""

    drier_last: bool
    part_by_part: bool
    worst: Grade


ATTEMPTS = (
    Rule(True, True, Grade.SOLE),
    Rule(True, False, Grade.SOLE),
    Rule(True, True, Grade.SPLIT),
    Rule(True, False, Grade.SPLIT),
    Rule(True, True, Grade.HOSE),
    Rule(True, False, Grade.HOSE),
    Rule(False, False, Grade.HOSE),
    Rule(True, True, Grade.PRESSED),
    Rule(True, False, Grade.PRESSED),
    Rule(False, False, Grade.PRESSED),
)


@dataclass(frozen=True)
class Placed:
    """A joint in the order, after `made`; a screwed joint has no hook-up."""

    joint: str
    made: Made
    hookup: Hookup | None


@dataclass(frozen=True)
class _Trail:
    made: Made
    last: Hookup | None
    placed: tuple[Placed, ...]


class Order:
    """Searches orders of one job's joints."""

    def __init__(self, finder: Finder, screwed: frozenset[str]) -> None:
        self.finder = finder
        self.screwed = screwed
        self.graph = finder.openings.graph
        self.joints = finder.openings.loose
        self.out = finder.openings.out
        self._parts = {id: self._parts_of(id) for id in self.joints}
        self._rank = {id: self._rank_of(id) for id in self.joints}

    def _parts_of(self, joint: str) -> frozenset[str]:
        return self.out.intersection(self.graph.joints[joint].parts)

    def _rank_of(self, joint: str) -> int:
        parts = self.graph.circuit.parts
        return max((_RANK.get(parts[part].kind, 0) for part in self._parts[joint]), default=0)

    def furthest(self, worst: Grade) -> Made:
        """The most joints that can be made in any order, with hook-ups no worse than that."""
        best: Made = frozenset()
        seen, todo = {best}, [best]
        while todo and len(best) < len(self.joints):
            made = todo.pop()
            best = max(best, made, key=len)
            for joint in self.joints:
                longer = made | {joint}
                if joint not in made and longer not in seen and self.choices(made, joint, worst):
                    seen.add(longer)
                    todo.append(longer)
        return best

    def best(self) -> tuple[Placed, ...]:
        """The best order by the first rule that allows one; empty when none does."""
        if len(self.furthest(Grade.PRESSED)) < len(self.joints):
            return ()
        for rule in ATTEMPTS:
            found = self.search(rule)
            if found:
                return found
        return ()

    def search(self, rule: Rule) -> tuple[Placed, ...]:
        """The cheapest order under a rule, by uniform cost; ties go by the names in it."""
        everything = frozenset(self.joints)
        start = _Trail(frozenset(), None, ())
        count = 0  # two trails of one cost and name are never compared themselves
        queue: list[tuple[int, tuple[str, ...], int, _Trail]] = [(0, (), count, start)]
        done: set[tuple[Made, Hookup | None]] = set()
        while queue:
            cost, names, _, trail = heappop(queue)
            made, last, placed = trail.made, trail.last, trail.placed
            if made == everything:
                return placed
            if (made, last) in done:
                continue
            done.add((made, last))
            for joint in self.next(made, rule):
                for hookup in self.choices(made, joint, rule.worst):
                    now = hookup or last
                    if (made | {joint}, now) in done:
                        continue
                    count += 1
                    paid = cost + self.cost(made, joint, hookup, last)
                    called = (*names, joint, *(map(str, hookup.key) if hookup else ()))
                    longer = (*placed, Placed(joint, made, hookup))
                    heappush(queue, (paid, called, count, _Trail(made | {joint}, now, longer)))
        return ()

    def next(self, made: Made, rule: Rule) -> Iterator[str]:
        """The joints that may come next under a rule."""
        left = [joint for joint in self.joints if joint not in made]
        if rule.drier_last:
            lowest = min(self._rank[joint] for joint in left)
            left = [joint for joint in left if self._rank[joint] == lowest]
        if rule.part_by_part:
            begun = frozenset().union(*(self._parts[joint] for joint in made))
            half = [joint for joint in left if self._parts[joint] & begun]
            left = half or left
        yield from left

    def choices(self, made: Made, joint: str, worst: Grade) -> list[Hookup | None]:
        """The hook-ups a joint may be made with; one None for a joint that is screwed."""
        if joint in self.screwed:
            return [None]
        found = self.finder.hookups(made, joint, worst >= Grade.SPLIT)
        return [hookup for hookup in found if hookup.grade <= worst]

    def cost(self, made: Made, joint: str, hookup: Hookup | None, last: Hookup | None) -> int:
        """What a joint adds: the reach it is made in, and what changes from the last hook-up."""
        if hookup is None:
            return _EARLY if set(self.joints) - made - self.screwed else 0
        cost = _TIGHT * (self.tight(joint) and not self.in_the_open(made, joint))
        cost += _LIFTS * hookup.lifts + _CORE * isinstance(hookup.vent, str)
        cost += _TIGHT * int(hookup.grade)
        if last is not None:
            cost += _INLET * (hookup.inlet != last.inlet) + _VENT * (hookup.vent != last.vent)
        return cost + _VALVES * (hookup.put != (last.put if last else 0))

    def tight(self, joint: str) -> bool:
        """Whether the joint is hard to get at once its part is home."""
        parts = self.graph.circuit.parts
        return any(
            self.graph.joint_of.get(f"{part}.{port}") == joint
            for part in self._parts[joint]
            for port in parts[part].tight
        )

    def in_the_open(self, made: Made, joint: str) -> bool:
        """Whether its part still hangs free, so that the torch reaches all round."""
        parts = self.graph.circuit.parts
        return any(
            kinds.kind(parts[part]).in_line
            and not any(other in made for other in self.graph.joints_at(part))
            for part in self._parts[joint]
        )
