"""Where symbols come to lie: packed on the lattice.

The circuit's own drawing places say what lies left of and above what. Columns and rows are pushed
apart as far as symbols and the joints between them need, and the room left over is shared out in
proportion to the places.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from packets.drawings.geometry import EAST, NORTH, SOUTH, WEST
from packets.drawings.turning import Placed
from packets.model.circuits import CircuitPlan

# Lattice steps a line takes at least: a gap at either end when both joints stand open.
LINE, TAPPED_LINE, DIRECT, CORNER, APART = 3, 5, 2, 2, 2


def place(
    circuit: CircuitPlan, turned: Mapping[str, Placed], columns: int, rows: int
) -> dict[str, Placed] | None:
    """Turned symbols within so many columns, and as many rows as it takes; None if it is too
    narrow."""
    across, down = _Axis(circuit, turned, 0), _Axis(circuit, turned, 1)
    xs = across.spread(columns)
    if across.length(xs) > columns:
        return None
    ys = down.spread(rows)
    return {name: one.moved((xs[name], ys[name])) for name, one in turned.items()}


def least(circuit: CircuitPlan, turned: Mapping[str, Placed], columns: int) -> int | None:
    """The rows that turned symbols take at least; None if they are wider than the columns."""
    if _Axis(circuit, turned, 0).least > columns:
        return None
    return _Axis(circuit, turned, 1).least


class _Axis:
    """One direction of the lattice: 0 across, 1 down."""

    def __init__(self, circuit: CircuitPlan, placed: Mapping[str, Placed], axis: int) -> None:
        self.circuit, self.placed, self.axis = circuit, placed, axis
        sign = -1 if axis else 1
        self.grid = {name: sign * part.at[axis] for name, part in circuit.parts.items()}
        self.steps = sorted(set(self.grid.values()))
        self.rank = {value: at for at, value in enumerate(self.steps)}
        self.limits: list[dict[int, int]] = [{} for _ in self.steps]
        self.lines = {
            frozenset(end.split(".")[0] for end in (line.from_, line.to)): (name, line)
            for name, line in circuit.lines.items()
        }
        for low, high, least in self._limits():
            one, two = self.rank[self.grid[low]], self.rank[self.grid[high]]
            self.limits[two][one] = max(least, self.limits[two].get(one, least))

    def spread(self, room: int) -> dict[str, int]:
        """Places with the spare room shared out, the first symbol's edge at 0."""
        low, high = 0.0, 12.0
        if self.least < room:
            for _ in range(12):
                middle = (low + high) / 2
                low, high = (
                    (middle, high) if self.length(self._at(middle)) <= room else (low, middle)
                )
        places = self._at(low)
        edge = min(places[name] + self._edges(name)[0] for name in places)
        return {name: at - int(edge // 1) for name, at in places.items()}

    @property
    def least(self) -> int:
        """Lattice steps with no room to share out."""
        return self.length(self._at(0.0))

    def length(self, places: Mapping[str, int]) -> int:
        """Lattice steps from the first symbol's edge to the last one's."""
        low = min(at + self._edges(name)[0] for name, at in places.items())
        high = max(at + self._edges(name)[1] for name, at in places.items())
        return -int(-(high - low) // 1)

    def _at(self, stretch: float) -> dict[str, int]:
        found: list[int] = []
        for at, limits in enumerate(self.limits):
            least = [found[one] + gap for one, gap in limits.items()]
            if at:
                wide = self.steps[at] - self.steps[at - 1]
                least.append(found[at - 1] + max(0, round(stretch * wide)))
            found.append(max(least, default=0))
        return {name: found[self.rank[value]] for name, value in self.grid.items()}

    def _edges(self, name: str) -> tuple[float, float]:
        whole = self.placed[name].whole
        return (whole[self.axis], whole[self.axis + 2])

    def _limits(self) -> Iterator[tuple[str, str, int]]:
        names = list(self.placed)
        for at, one in enumerate(names):
            for two in names[at + 1 :]:
                if self._apart_this_way(one, two):
                    low, high = sorted((one, two), key=lambda name: self.grid[name])
                    edges = self._edges(low)[1] - self._edges(high)[0]
                    yield low, high, -int(-edges // 1) + self._gap(low, high)
        for line in self.circuit.lines.values():
            yield from self._bend(line.from_, line.to)
            yield from self._bend(line.to, line.from_)

    def _apart_this_way(self, one: str, two: str) -> bool:
        a, b = self.circuit.parts[one].at, self.circuit.parts[two].at
        across, down = abs(a[0] - b[0]), abs(a[1] - b[1])
        return (across >= down) == (self.axis == 0) and self.grid[one] != self.grid[two]

    def _gap(self, low: str, high: str) -> int:
        forward, back = (SOUTH, NORTH) if self.axis else (EAST, WEST)
        found = self.lines.get(frozenset((low, high)))
        if found is None:
            faces = any(look == forward for _, look in self.placed[low].ports.values())
            faces |= any(look == back for _, look in self.placed[high].ports.values())
            return APART + faces
        name, line = found
        looks = {
            end.split(".")[0]: self.placed[end.split(".")[0]].ports[end.split(".")[1]][1]
            for end in (line.from_, line.to)
        }
        if looks[low] != forward or looks[high] != back:
            return APART
        if line.direct:
            return DIRECT
        return TAPPED_LINE if self._carries(name) else LINE

    def _carries(self, line: str) -> bool:
        return any(port.on == line for port in self.circuit.service_ports.values())

    def _bend(self, start: str, end: str) -> Iterator[tuple[str, str, int]]:
        """Room for a clean corner: what a port looks at lies ahead of its stub."""
        (one, port), (two, to) = start.split("."), end.split(".")
        node, look = self.placed[one].ports[port]
        other = self.placed[two].ports[to][0]
        ahead = look[self.axis]
        if ahead * (self.grid[two] - self.grid[one]) <= 0:
            return
        room = (node[self.axis] - other[self.axis]) * ahead + CORNER
        yield (one, two, room) if ahead > 0 else (two, one, room)
