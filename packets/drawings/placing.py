"""Where symbols come to lie: each turned to its neighbours, then packed on the lattice.

The circuit's own drawing places say what lies left of and above what. Columns and rows are pushed
apart as far as symbols and the joints between them need, and the room left over is shared out in
proportion to the places.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from packets.drawings import symbols
from packets.drawings.geometry import EAST, NORTH, SOUTH, WEST, Box, Node, Point, Pose, around
from packets.drawings.shapes import Shape
from packets.model.circuits import CircuitPart, CircuitPlan

# Lattice steps a line takes at least: a gap at either end when both joints stand open.
LINE, TAPPED_LINE, DIRECT, CORNER, APART = 3, 5, 2, 2, 2
_COARSE = 4  # lattice steps a step of the drawing grid, while symbols are being turned


@dataclass(frozen=True)
class Placed:
    """A symbol on the lattice. `ports` are where its stubs end, and which way they look."""

    part: CircuitPart
    shape: Shape
    at: Node
    pose: Pose
    ports: dict[str, tuple[Node, Node]]

    @cached_property
    def body(self) -> Box:
        """What the symbol covers without its stubs, in lattice steps."""
        return self.pose.box(self.shape.body).moved(*self.at)

    @cached_property
    def whole(self) -> Box:
        """What it covers with them."""
        nodes = [node for node, _ in self.ports.values()]
        return around([self.body[:2], self.body[2:], *nodes])

    def moved(self, at: Node) -> Placed:
        """The symbol elsewhere."""
        x, y = at[0] - self.at[0], at[1] - self.at[1]
        ports = {port: ((n[0] + x, n[1] + y), look) for port, (n, look) in self.ports.items()}
        return replace(self, at=at, ports=ports)


def poses(part: CircuitPart, tapped: Iterable[str], by: float) -> list[Placed]:
    """Every way a symbol can lie, at the origin. Stubs with a service port are longer."""
    spots, longer, shape = symbols.spots(part), set(tapped), symbols.shape(part, by)
    found = []
    orders = [part.ports]
    if part.kind == "tee":
        orders = [part.ports[at:] + part.ports[:at] for at in range(len(part.ports))]
    for order in orders:
        looks = dict(zip(order, spots.values(), strict=True))
        for turns in range(4):
            for flipped in (False, True):
                if flipped and len(part.ports) == 2:
                    continue
                pose = Pose(turns, flipped)
                ports = {
                    port: _stub(pose, *looks[port], long=port in longer) for port in part.ports
                }
                shown = Pose((turns + 2) % 4) if symbols.turned_about(part) else pose
                found.append(Placed(part, shape, (0, 0), shown, ports))
    return found


def _stub(pose: Pose, node: Node, look: Node, long: bool) -> tuple[Node, Node]:
    far = max(abs(node[0]), abs(node[1]))
    more = (2 if far < 3 else 1) if long else 0
    out = (node[0] + more * look[0], node[1] + more * look[1])
    return pose.node(out), pose.node(look)


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


def tapped(circuit: CircuitPlan) -> set[str]:
    """Ports of parts that carry a service port on their stub."""
    return {port.on for port in circuit.service_ports.values() if "." in port.on}


# ---- turning


def turned(circuit: CircuitPlan, by: float = 1.0) -> dict[str, Placed]:
    """Each symbol, so many times as big as by the lattice, turned so that the lines to its
    neighbours are short and bend little."""
    ways: dict[str, list[Placed]] = {}
    on = tapped(circuit)
    for name, part in circuit.parts.items():
        long = [port for port in part.ports if f"{name}.{port}" in on]
        at = (round(part.at[0] * _COARSE), round(-part.at[1] * _COARSE))
        ways[name] = [one.moved(at) for one in poses(part, long, by)]
    chosen = {name: some[0] for name, some in ways.items()}
    joined = _joined(circuit)
    for _ in range(3):
        before = dict(chosen)
        for name, some in ways.items():
            chosen[name] = min(some, key=lambda one: _strain(one, joined[name], chosen))
        if chosen == before:
            break
    return {name: one.moved((0, 0)) for name, one in chosen.items()}


_Joined = Sequence[tuple[str, str, str]]  # own port, the other part, its port


def _joined(circuit: CircuitPlan) -> dict[str, list[tuple[str, str, str]]]:
    """What each part is joined to."""
    found: dict[str, list[tuple[str, str, str]]] = {name: [] for name in circuit.parts}
    for line in circuit.lines.values():
        (one, port), (other, to) = (end.split(".") for end in (line.from_, line.to))
        found[one].append((port, other, to))
        if other != one:
            found[other].append((to, one, port))
    return found


def _strain(placed: Placed, joined: _Joined, chosen: Mapping[str, Placed]) -> float:
    # Of ways as good, the valve with its stem upwards, or to the right.
    total = 0.4 if placed.pose.turns in (2, 3) else 0.0
    for port, other, to in joined:
        ports = placed.ports if chosen[other].part is placed.part else chosen[other].ports
        total += bends(placed.ports[port], ports[to])
    return total


def bends(start: tuple[Node, Node], end: tuple[Node, Node]) -> float:
    """Length of a line, and how it has to bend to leave and arrive as its ports look."""
    (a, look), (b, other) = start, end
    x, y = b[0] - a[0], b[1] - a[1]
    cost = float(abs(x) + abs(y))
    for ahead in (x * look[0] + y * look[1], -x * other[0] - y * other[1]):
        cost += 0 if ahead > 0 else 6 if ahead == 0 else 14
    straight = (look[0] + other[0], look[1] + other[1]) == (0, 0)
    aside = abs(x * look[1]) + abs(y * look[0])
    if straight and aside:
        cost += 8
    return cost + (3 if look == other else 0)


# ---- packing


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
        if self.length(self._at(low)) < room:
            for _ in range(12):
                middle = (low + high) / 2
                low, high = (
                    (middle, high) if self.length(self._at(middle)) <= room else (low, middle)
                )
        places = self._at(low)
        edge = min(places[name] + self._edges(name)[0] for name in places)
        return {name: at - int(edge // 1) for name, at in places.items()}

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


# ---- circuits whose places do not fit: round a rectangle, in the order of flow


def folded(circuit: CircuitPlan, columns: int, sides: int = 3) -> Iterator[CircuitPlan]:
    """The circuit with its parts round a rectangle: the compressor on the left, the others over
    the top, down the right side and back along the foot, as many a row as fit the columns; first
    where about so many stand at the side."""
    first, *rest = _walk(circuit)
    wide = [_width(circuit, name) for name in rest]
    options = []
    for top in range(1, len(rest) + 1):
        for foot in range(len(rest) - top + 1):
            side = len(rest) - top - foot
            rows = (sum(wide[:top]), sum(wide[top + side :]))
            if max(rows) + 2 * CORNER + 2 <= columns:
                options.append((abs(side - sides), abs(rows[0] - rows[1]), top, side))
    for _, _, top, side in sorted(options):
        yield _round(circuit, first, rest, top, side)


def _width(circuit: CircuitPlan, name: str) -> int:
    """What a part takes in a row, with one line."""
    part = circuit.parts[name]
    long = sum(on.partition(".")[0] == name for on in tapped(circuit))
    return 2 * symbols.shape(part).reach + 2 * long + LINE


def _walk(circuit: CircuitPlan) -> list[str]:
    """Parts as the refrigerant meets them, from the compressor on."""
    first = next(name for name, part in circuit.parts.items() if part.kind == "compressor")
    after: dict[str, list[str]] = {name: [] for name in circuit.parts}
    for line in circuit.lines.values():
        after[line.from_.split(".")[0]].append(line.to.split(".")[0])
        after[line.to.split(".")[0]].append(line.from_.split(".")[0])
    seen: list[str] = []
    todo = [first]
    while todo:
        at = todo.pop()
        if at not in seen:
            seen.append(at)
            todo += reversed(after[at])
    return seen


def _round(
    circuit: CircuitPlan, first: str, rest: Sequence[str], top: int, side: int
) -> CircuitPlan:
    wide, foot = float(3 * (top + 1)), len(rest) - top - side
    high = float(max(4, 3 * (side + 1)))
    places: list[Point] = [(3.0 * (at + 1), high) for at in range(top)]
    places += [(wide, high - 3.0 * (at + 1)) for at in range(side)]
    places += [(wide - wide * (at + 1) / (foot + 1), 0.0) for at in range(foot)]
    spots = {first: (0.0, high / 2), **dict(zip(rest, places, strict=True))}
    parts = {name: replace(part, at=spots[name]) for name, part in circuit.parts.items()}
    return replace(circuit, parts=parts)
