"""How a flow of nitrogen splits over parallel ways, and the pressure it makes on them.

Laminar resistances in metres of 8 mm bore tube; one-way parts pass nothing until the gas lifts
them. Solved by nodes (Kirchhoff), the one-way parts by trying which are lifted.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations

from packets.circuit.graph import FREE, LIFT, Graph, Joint, Passage
from packets.circuit.kinds import kind
from packets.model.hookups import LineSize, Span

BORE = 0.008  # m, of the tube that resistances are stated in
VISCOSITY = 1.76e-5  # Pa s, nitrogen at 20 C (CoolProp)
# Trickle while brazing, 2 to 5 scfh [m3/s]: common practice, no source.
TRICKLE = Span(2 * 0.0283168 / 3600, 5 * 0.0283168 / 3600)
# To lift a valve plate or reed: an estimate, no source.
LIFTING = Span(500.0, 7_000.0)  # Pa
UNSIZED = 1.0  # m, a line of unknown size

LEAST_FLOW = 1e-9  # of the whole, below which a way counts as still
_LEAST = 1e-3
_MOST_LIFTS = 10  # tried in every combination


def pressure(resistance: float, flow: float) -> float:
    """Pressure that drives a flow through a resistance [Pa].

    Equation: p = 128 mu L Q / (pi d^4), laminar, d = 8 mm (Hagen-Poiseuille).

    Args:
        resistance: L, length of 8 mm bore tube [m], 0 or more.
        flow: Q at ambient pressure [m3/s], 0 to 1e-4 (Reynolds number below 1200).

    Source: Hagen-Poiseuille, any fluid mechanics text (from memory). The gas is taken as
    incompressible, at the density of the outlet: high by a third at 70 kPa, nearly exact at the
    pressures of a way without a capillary.
    """
    return 128 * VISCOSITY * resistance * flow / (math.pi * BORE**4)


def line_resistance(size: LineSize | None) -> float:
    """Resistance of a line [m of 8 mm bore]; UNSIZED when its size is not known."""
    return UNSIZED if size is None else size.length * (BORE / size.bore) ** 4


# What it takes to lift each one-way part, in metres of 8 mm bore tube.
Lifting = Mapping[str, float]


@dataclass(frozen=True)
class Edge:
    """A way between two chambers. `lift` edges pass from a to b only, once lifted."""

    name: str
    a: int
    b: int
    resistance: float
    lift: bool = False


def edges(
    graph: Graph, ways: Sequence[Passage], apart: frozenset[str], sizes: Mapping[str, LineSize]
) -> list[Edge]:
    """Every joint that is made and every passage, with its resistance."""
    found = [
        Edge(joint.id, joint.ends[0][1], joint.ends[1][1], _at_joint(graph, joint, sizes))
        for joint in graph.joints.values()
        if joint.id not in apart
    ]
    for way in ways:
        if way.forward == way.back == FREE:
            found.append(Edge(way.part, way.a, way.b, way.resistance))
        elif way.forward in (LIFT, FREE):
            found.append(Edge(way.part, way.a, way.b, way.resistance, lift=True))
        elif way.back in (LIFT, FREE):
            found.append(Edge(way.part, way.b, way.a, way.resistance, lift=True))
    return found


def _at_joint(graph: Graph, joint: Joint, sizes: Mapping[str, LineSize]) -> float:
    """Half of what lies on either side; a part with a seat has its resistance in the passage."""
    total = _LEAST
    for owner, chamber in joint.ends:
        if owner in graph.circuit.lines:
            total += line_resistance(sizes.get(owner)) / 2
        elif len(graph.chambers[chamber].ports) > 1:
            total += kind(graph.circuit.parts[owner]).resistance / 2
    return total


@dataclass(frozen=True)
class Flow:
    """A flow of one: how much of it runs through each edge, and the pressure of each chamber.

    Flow from a to b is positive; pressures in metres of 8 mm bore tube above the vent.
    """

    through: dict[Edge, float]
    above: dict[int, float]

    def past(self, joint: str) -> float:
        """How much runs through a joint, whichever way."""
        return sum(abs(size) for edge, size in self.through.items() if edge.name == joint)


def solve(found: Sequence[Edge], inlet: int, vent: int, lifting: Lifting) -> Flow | None:
    """One unit of gas from inlet to vent. None when it cannot get out.

    Which one-way parts are lifted: all but the one with the most flow against it, again and again;
    should that miss, every choice is tried, most lifted first.
    """
    lifts = [edge for edge in found if edge.lift]
    lifted = set(lifts)
    for _ in range(2 * len(lifts) + 1):
        flow = _flow(found, lifted, inlet, vent, lifting)
        if flow is None:
            break
        wrong = _wrong(flow, lifts, lifted, lifting)
        if wrong is None:
            return flow
        lifted ^= {wrong}
    for size in range(len(lifts), -1, -1):
        for choice in combinations(lifts[:_MOST_LIFTS], size):
            flow = _flow(found, set(choice), inlet, vent, lifting)
            if flow is not None and _wrong(flow, lifts, set(choice), lifting) is None:
                return flow
    return None


def hardness(found: Sequence[Edge]) -> list[tuple[Lifting, float]]:
    """Cases of how hard one-way parts are to lift, each with a trickle to look at it with [m3/s].

    All easy, all hard, and each of them hard alone: of two that have to be lifted side by side
    nobody can say which one will be.
    """
    lifts = [edge.name for edge in found if edge.lift]
    easy = LIFTING.low / pressure(1.0, TRICKLE.high)
    hard = LIFTING.high / pressure(1.0, TRICKLE.low)
    lightly = dict.fromkeys(lifts, easy)
    cases: list[tuple[Lifting, float]] = [(lightly, TRICKLE.high)]
    cases.append((dict.fromkeys(lifts, hard), TRICKLE.low))
    if len(lifts) > 1:
        cases += [({**lightly, name: hard}, TRICKLE.low) for name in lifts]
    return cases


def _flow(
    found: Sequence[Edge], lifted: set[Edge], inlet: int, vent: int, lifting: Lifting
) -> Flow | None:
    used = [edge for edge in found if not edge.lift or edge in lifted]
    above = _potentials(used, inlet, vent, lifting)
    if above is None:
        return None
    return Flow(
        {
            edge: (above[edge.a] - above[edge.b] - (lifting[edge.name] if edge.lift else 0.0))
            / edge.resistance
            for edge in used
            if edge.a in above and edge.b in above
        },
        above,
    )


def _wrong(flow: Flow, lifts: Sequence[Edge], lifted: set[Edge], lifting: Lifting) -> Edge | None:
    """The part that most clearly should not be lifted, else one that should be; None when right."""
    falls = [edge for edge in lifted if flow.through.get(edge, 0.0) < -LEAST_FLOW]
    if falls:
        return min(falls, key=lambda edge: (flow.through[edge], edge.name))
    above = flow.above
    rises = [
        edge
        for edge in lifts
        if edge not in lifted
        and edge.a in above
        and edge.b in above
        and above[edge.a] - above[edge.b] > lifting[edge.name] + LEAST_FLOW
    ]
    return max(rises, key=lambda edge: (above[edge.a] - above[edge.b], edge.name), default=None)


def _potentials(
    used: Sequence[Edge], inlet: int, vent: int, lifting: Lifting
) -> dict[int, float] | None:
    """Pressure of every chamber joined to the vent, by sparse elimination; the vent is 0."""
    rows: dict[int, dict[int, float]] = {}
    right: dict[int, float] = {}
    for edge in used:
        g = 1.0 / edge.resistance
        for here, there, sign in ((edge.a, edge.b, 1.0), (edge.b, edge.a, -1.0)):
            row = rows.setdefault(here, {})
            row[here] = row.get(here, 0.0) + g
            row[there] = row.get(there, 0.0) - g
            if edge.lift:
                right[here] = right.get(here, 0.0) + sign * g * lifting[edge.name]
    joined = _joined(rows, vent)
    if inlet not in joined:
        return None
    right[inlet] = right.get(inlet, 0.0) + 1.0
    unknown = {at: {n: v for n, v in rows[at].items() if n != vent} for at in joined - {vent}}
    order: list[tuple[int, dict[int, float]]] = []
    while unknown:
        pivot = min(unknown, key=lambda at: (len(unknown[at]), at))
        row = unknown.pop(pivot)
        order.append((pivot, row))
        for other in row:
            if other == pivot:
                continue
            factor = unknown[other].pop(pivot) / row[pivot]
            right[other] = right.get(other, 0.0) - factor * right.get(pivot, 0.0)
            for column, value in row.items():
                if column != pivot:
                    unknown[other][column] = unknown[other].get(column, 0.0) - factor * value
    above = {vent: 0.0}
    for pivot, row in reversed(order):
        rest = sum(value * above[column] for column, value in row.items() if column != pivot)
        above[pivot] = (right.get(pivot, 0.0) - rest) / row[pivot]
    return above


def _joined(rows: Mapping[int, Mapping[int, float]], start: int) -> set[int]:
    seen, todo = {start}, [start]
    while todo:
        for other in rows.get(todo.pop(), {}):
            if other not in seen:
                seen.add(other)
                todo.append(other)
    return seen
