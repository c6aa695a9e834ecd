"""Lines and hoses on the lattice: at right angles, clear of symbols, crossing square if at all."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import pairwise

from packets.drawings.geometry import SIDES, Box, Node

BEND, CROSSING, CLOSE = 3.0, 9.0, 0.6
EAGER = 1.4  # weight of what is left to go: a good way soon, not the best of all late
_FAR = (1, 2, 3, 5, 8)  # steps before the first bend and after the last that are tried
_CLEAR = 0.45  # lattice steps between a symbol and a line that passes it


@dataclass
class Field:
    """The lattice with what stands on it. `across` and `upright` hold nodes that lines run
    through straight; `shut` holds nodes nothing may run through."""

    left: int
    top: int
    right: int
    bottom: int
    shut: set[Node] = field(default_factory=set)
    across: set[Node] = field(default_factory=set)
    upright: set[Node] = field(default_factory=set)
    close: set[Node] = field(default_factory=set)

    def copy(self) -> Field:
        """A field to go on with."""
        return Field(
            self.left, self.top, self.right, self.bottom,
            set(self.shut), set(self.across), set(self.upright), set(self.close),
        )  # fmt: skip

    def fill(self, box: Box) -> None:
        """Shut the nodes that a symbol covers, and mark those beside it."""
        near = nodes_in(box.grown(_CLEAR))
        self.shut.update(near)
        self.close.update(nodes_in(box.grown(_CLEAR + 1.0)))

    def regions(self) -> list[int]:
        """For each cell the number of the region that hangs together without a crossing; 0 for
        what is not free."""
        wide, high = self.right - self.left + 3, self.bottom - self.top + 3
        open_ = bytearray(wide * high)
        for y in range(1, high - 1):
            open_[y * wide + 1 : (y + 1) * wide - 1] = b"\1" * (wide - 2)
        for nodes in (self.shut, self.across, self.upright):
            for x, y in nodes:
                if self.left <= x <= self.right and self.top <= y <= self.bottom:
                    open_[(y - self.top + 1) * wide + x - self.left + 1] = 0
        found = [0] * (wide * high)
        first = open_.find(1)
        while first >= 0:
            open_[first] = 0
            todo = [first]
            for at in todo:
                for to in (at + 1, at - 1, at + wide, at - wide):
                    if open_[to]:
                        open_[to] = 0
                        todo.append(to)
            for at in todo:
                found[at] = first
            first = open_.find(1)
        return found

    def cell(self, node: Node) -> int:
        """The number of a node's cell, by rows with a border; 0 outside of the field."""
        x, y = node[0] - self.left + 1, node[1] - self.top + 1
        wide, high = self.right - self.left + 3, self.bottom - self.top + 3
        return y * wide + x if 0 < x < wide - 1 and 0 < y < high - 1 else 0

    def node(self, cell: int) -> Node:
        """The node of a cell."""
        wide = self.right - self.left + 3
        return cell % wide - 1 + self.left, cell // wide - 1 + self.top

    def keep(self, way: Sequence[Node]) -> None:
        """Take in a line: its ends and corners are shut, the rest may be crossed square."""
        for at, node in enumerate(way):
            before, after = way[max(at - 1, 0)], way[min(at + 1, len(way) - 1)]
            if before[1] == after[1] and 0 < at < len(way) - 1:
                self.across.add(node)
            elif before[0] == after[0] and 0 < at < len(way) - 1:
                self.upright.add(node)
            else:
                self.shut.add(node)
            for x, y in SIDES:
                self.close.add((node[0] + x, node[1] + y))


def nodes_in(box: Box) -> Iterable[Node]:
    """Lattice nodes inside a box."""
    return [
        (x, y)
        for x in range(-int(-box.left // 1), int(box.right // 1) + 1)
        for y in range(-int(-box.top // 1), int(box.bottom // 1) + 1)
    ]


def way(
    ground: Field,
    start: Node,
    look: Node,
    end: Node,
    arrive: Node,
    plain: bool = False,
    regions: Sequence[int] = (),
) -> tuple[Node, ...]:
    """The best way from a node, leaving it as it looks, to another, arriving as asked for.

    Empty when there is none. Steps, bends, crossings and running close to something count. A way
    of few bends that crosses nothing is taken without looking further; `plain`: only such a one.
    `regions` of this field, or of one with less on it, spare looking all over the region it starts
    in where a line has to be crossed.
    """
    first = (start[0] + look[0], start[1] + look[1])
    last = (end[0] - arrive[0], end[1] - arrive[1])
    if (first in ground.shut and first != end) or (last in ground.shut and last != start):
        return ()
    found = _plain(ground, start, look, end, arrive)
    return found if found or plain else _searched(ground, start, look, end, arrive, regions)


def _plain(ground: Field, start: Node, look: Node, end: Node, arrive: Node) -> tuple[Node, ...]:
    """The best of the ways with three bends or fewer that cross nothing."""
    best: tuple[float, tuple[Node, ...]] = (1e9, ())
    for turns in _turns(start, look, end, arrive):
        nodes = _walked(ground, (start, *turns, end), best[0])
        if nodes is not None:
            cost = _cost(ground, nodes) + BEND * len(turns)
            best = min(best, (cost, nodes))
    return best[1]


def _turns(start: Node, look: Node, end: Node, arrive: Node) -> Iterator[tuple[Node, ...]]:
    """The corners of such ways."""
    x, y = end[0] - start[0], end[1] - start[1]
    ahead = x * look[0] + y * look[1]
    if look in (arrive, (-arrive[0], -arrive[1])):
        aside = x * look[1] == 0 and y * look[0] == 0
        if aside and look == arrive and ahead > 0:
            yield ()
        low, high = (1, ahead) if look == arrive else (max(1, ahead + 1), max(1, ahead + 1) + 8)
        for out in () if aside else range(low, high):
            first = (start[0] + out * look[0], start[1] + out * look[1])
            yield first, (end[0], first[1]) if look[1] else (first[0], end[1])
        return
    before = x * arrive[0] + y * arrive[1]
    if ahead > 0 and before > 0:
        yield ((start[0] + ahead * look[0], start[1] + ahead * look[1]),)
    for out in _FAR:
        for back in _FAR:
            first = (start[0] + out * look[0], start[1] + out * look[1])
            last = (end[0] - back * arrive[0], end[1] - back * arrive[1])
            corner = (first[0], last[1]) if look[0] else (last[0], first[1])
            if first != corner != last:
                yield first, corner, last


def _walked(ground: Field, corners: Sequence[Node], least: float) -> tuple[Node, ...] | None:
    """The nodes from corner to corner, if all are free and there are fewer than the least."""
    shut, across, upright = ground.shut, ground.across, ground.upright
    nodes = [corners[0]]
    for (x, y), (to_x, to_y) in pairwise(corners):
        count = abs(to_x - x) + abs(to_y - y)
        if not count or len(nodes) + count > least:
            return None
        a, b = (to_x - x) // count, (to_y - y) // count
        for step in range(1, count + 1):
            node = (x + a * step, y + b * step)
            if node != corners[-1] and (node in shut or node in across or node in upright):
                return None
            nodes.append(node)
    if len(set(nodes)) < len(nodes) or not all(_inside(ground, node) for node in corners):
        return None
    return tuple(nodes)


def _cost(ground: Field, nodes: Sequence[Node]) -> float:
    return len(nodes) - 1 + CLOSE * sum(node in ground.close for node in nodes[1:])


def _searched(
    ground: Field, start: Node, look: Node, end: Node, arrive: Node, regions: Sequence[int]
) -> tuple[Node, ...]:
    """The best way of all, however many bends it takes.

    A state is a node and a heading in one number, 4 * (y * wide + x) + heading; a border of shut
    nodes stands round the field.
    """
    wide = ground.right - ground.left + 3
    high = ground.bottom - ground.top + 3

    ahead = (1, wide, -1, -wide)
    price = [1.0] * (wide * high)
    for at in _cells(ground, ground.close, wide):
        price[at] += CLOSE
    flags = bytearray(wide * high)  # 1: shut, 2: a line runs across, 4: a line runs upright
    for flag, nodes in ((1, ground.shut), (2, ground.across), (4, ground.upright)):
        for at in _cells(ground, nodes, wide):
            flags[at] |= flag
    for at in range(wide):
        flags[at] = flags[-1 - at] = 1
    for at in range(0, wide * high, wide):
        flags[at] = flags[at + wide - 1] = 1
    if not (_inside(ground, start) and _inside(ground, end)):
        return ()
    begin, goal = _cells(ground, (start, end), wide)
    goal_x, goal_y = goal % wide, goal // wide
    regions = regions or [0] * (wide * high)
    home = (0, regions[goal])  # no line stands between here and the goal, as far as is known
    if not home[1]:
        regions = [0] * (wide * high)
    first, last = 4 * begin + SIDES.index(look), 4 * goal + SIDES.index(arrive)
    flags[goal], flags[begin] = 0, 6
    best, came, queue = {first: 0.0}, {first: first}, [(0.0, first)]
    while queue:
        _, state = heappop(queue)
        if state == last:
            return _back(came, state, wide, ground)
        at, heading = state >> 2, state & 3
        spent = best[state]
        for turn in (heading,) if flags[at] & 6 else range(4):
            if turn ^ 2 == heading:
                continue
            to = at + ahead[turn]
            flag = flags[to]
            if flag & (1 | (4 if turn & 1 else 2)) or (to == goal and 4 * to + turn != last):
                continue
            cost = spent + price[to] + (BEND if turn != heading else 0.0)
            if flag:
                cost += CROSSING
            new = 4 * to + turn
            if cost < best.get(new, 1e9):
                best[new], came[new] = cost, state
                far = abs(to % wide - goal_x) + abs(to // wide - goal_y)
                apart = 0.0 if regions[to] in home else CROSSING
                heappush(queue, (cost + EAGER * far + apart, new))
    return ()


def _cells(ground: Field, nodes: Iterable[Node], wide: int) -> list[int]:
    """The nodes inside the field, numbered by rows with a border."""
    left, top, right, bottom = ground.left, ground.top, ground.right, ground.bottom
    return [
        (y - top + 1) * wide + x - left + 1
        for x, y in nodes
        if left <= x <= right and top <= y <= bottom
    ]


def _inside(ground: Field, node: Node) -> bool:
    return ground.left <= node[0] <= ground.right and ground.top <= node[1] <= ground.bottom


def _back(came: dict[int, int], state: int, wide: int, ground: Field) -> tuple[Node, ...]:
    found = []
    while True:
        at = state >> 2
        found.append((at % wide - 1 + ground.left, at // wide - 1 + ground.top))
        if came[state] == state:
            return tuple(reversed(found))
        state = came[state]
