"""Where gas gets to. Chambers that nothing can part are one zone.

Sets of zones are bit masks: a plan floods a circuit thousands of times.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from packets.circuit.graph import FREE, LIFT, Graph, Passage


class Zones:
    """One state of the valves, with the joints that the work opens kept apart.

    `throttled` passages (a capillary) part zones too when `split_throttles` is set.
    """

    def __init__(
        self, graph: Graph, ways: Sequence[Passage], loose: Collection[str], throttle: float = 0.0
    ) -> None:
        self._parent = list(range(len(graph.chambers)))
        arcs: list[tuple[int, int]] = []
        for joint in graph.joints.values():
            if joint.id not in loose:
                self._join(joint.ends[0][1], joint.ends[1][1])
        for way in ways:
            if throttle and way.resistance > throttle:
                continue
            if way.forward == way.back == FREE:
                self._join(way.a, way.b)
                continue
            if way.forward in (FREE, LIFT):
                arcs.append((way.a, way.b))
            if way.back in (FREE, LIFT):
                arcs.append((way.b, way.a))
        self._bit = [1 << self._root(chamber) for chamber in range(len(graph.chambers))]
        self._arcs = [(self._bit[a], self._bit[b]) for a, b in arcs]
        self._joints = {
            id: (self._bit[graph.joints[id].ends[0][1]], self._bit[graph.joints[id].ends[1][1]])
            for id in loose
        }

    def _root(self, chamber: int) -> int:
        while self._parent[chamber] != chamber:
            self._parent[chamber] = self._parent[self._parent[chamber]]
            chamber = self._parent[chamber]
        return chamber

    def _join(self, a: int, b: int) -> None:
        self._parent[self._root(a)] = self._root(b)

    def of(self, chamber: int) -> int:
        """The zone of a chamber, as a mask of one bit."""
        return self._bit[chamber]

    def sides(self, joint: str) -> tuple[int, int]:
        """The zones on the two sides of a loose joint."""
        return self._joints[joint]

    def flood(
        self, start: int, made: Iterable[str], backward: bool = False, lift: bool = True
    ) -> int:
        """Every zone that gas from `start` gets to, through the joints in `made`.

        `backward`: every zone that gas gets to `start` from. Without `lift`: through no one-way
        part.
        """
        pairs = [self._joints[joint] for joint in made]
        arcs = self._arcs if lift else []
        if backward:
            arcs = [(b, a) for a, b in arcs]
        seen, before = start, 0
        while seen != before:
            before = seen
            for a, b in pairs:
                if seen & (a | b):
                    seen |= a | b
            for a, b in arcs:
                if seen & a:
                    seen |= b
        return seen
