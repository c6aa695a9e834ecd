"""How symbols lie: each turned to its neighbours."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

from packets.drawings import symbols
from packets.drawings.geometry import Box, Node, Pose, around
from packets.drawings.shapes import Shape
from packets.model.circuits import CircuitPart, CircuitPlan

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


def tapped(circuit: CircuitPlan) -> set[str]:
    """Ports of parts that carry a service port on their stub."""
    return {port.on for port in circuit.service_ports.values() if "." in port.on}


def ways(circuit: CircuitPlan, by: float = 1.0) -> dict[str, list[Placed]]:
    """Every way each symbol can lie, so many times as big as by the lattice, at the origin."""
    on = tapped(circuit)
    return {
        name: poses(part, [port for port in part.ports if f"{name}.{port}" in on], by)
        for name, part in circuit.parts.items()
    }


def turned(circuit: CircuitPlan, ways: Mapping[str, Sequence[Placed]]) -> dict[str, Placed]:
    """Of its ways, each symbol in that in which the lines to its neighbours are short and bend
    little, at the origin."""
    chosen = {name: some[0] for name, some in ways.items()}
    joined = _joined(circuit)
    for _ in range(3):
        before = dict(chosen)
        for name, some in ways.items():
            chosen[name] = min(some, key=lambda one: _strain(one, joined[name], chosen))
        if chosen == before:
            break
    return chosen


# Own port, the other part, its port, and how far off that part lies.
_Joined = Sequence[tuple[str, str, str, Node]]


def _joined(circuit: CircuitPlan) -> dict[str, list[tuple[str, str, str, Node]]]:
    """What each part is joined to."""
    spots = {
        name: (round(part.at[0] * _COARSE), round(-part.at[1] * _COARSE))
        for name, part in circuit.parts.items()
    }
    found: dict[str, list[tuple[str, str, str, Node]]] = {name: [] for name in circuit.parts}
    for line in circuit.lines.values():
        (one, port), (other, to) = (end.split(".") for end in (line.from_, line.to))
        x, y = spots[other][0] - spots[one][0], spots[other][1] - spots[one][1]
        found[one].append((port, other, to, (x, y)))
        if other != one:
            found[other].append((to, one, port, (-x, -y)))
    return found


def _strain(placed: Placed, joined: _Joined, chosen: Mapping[str, Placed]) -> float:
    # Of ways as good, the valve with its stem upwards, or to the right.
    total = 0.4 if placed.pose.turns in (2, 3) else 0.0
    for port, other, to, (x, y) in joined:
        ports = placed.ports if chosen[other].part is placed.part else chosen[other].ports
        (a, b), look = ports[to]
        total += bends(placed.ports[port], ((a + x, b + y), look))
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
