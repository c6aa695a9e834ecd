"""The evacuation hook-up: ports to pull from, where the gauge tells the truth, valves to open.

In vacuum nothing is lifted: gas leaves only through what is open both ways.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from heapq import heappop, heappush
from itertools import combinations

from packets.circuit import flows, names, settings
from packets.circuit import graph as graphs
from packets.circuit.flows import Edge
from packets.circuit.graph import VACUUM
from packets.circuit.recovery import Drains, opened
from packets.circuit.settings import States
from packets.model.circuits import CircuitPlan, Problem
from packets.model.hookups import EvacuationPlan, GaugePlace, LineSize, PortUse, Reached, Section

HOSES = 2  # pulled from at once: two large hoses, cores out (common practice, no source)


def evacuation_plan(
    circuit: CircuitPlan,
    sizes: Mapping[str, LineSize] | None = None,
    hoses: int = HOSES,
) -> EvacuationPlan:
    """Ports, gauge place and valves for evacuating the whole circuit.

    Pulls from as many ports as there are hoses, from more where a section has its own; of all
    choices the one whose farthest place is nearest. The gauge goes to the free port farthest from
    the pump; without one, to the side branch at the pulled port nearest the farthest place.
    """
    drains = Drains(circuit, VACUUM)
    put = opened(circuit)
    ports = drains.live(put)
    if not ports:
        fix = "fit one on each side of the circuit"
        wrong = Problem("no-service-port", ("service_ports",), "no service port can be used", fix)
        return EvacuationPlan((), None, (), (), (), (), (wrong,))
    left = drains.undrained(put, ports)
    reach = _Reach(drains, put, sizes or {})
    pumped = _pumped(drains, reach, put, ports, len(left), hoses)
    reached = reach.all(pumped)
    keeps = tuple(one for one in drains.undrained({}, pumped) if one not in left)
    return EvacuationPlan(
        pumped=tuple(PortUse(port, circuit.service_ports[port].core) for port in pumped),
        gauge=_gauge(reach, ports, pumped, reached),
        valves=settings.as_settings(circuit, put),
        reached=reached,
        keeps=keeps,
        left=left,
        problems=tuple(_left(circuit, one) for one in left),
    )


def _pumped(
    drains: Drains, reach: _Reach, put: States, ports: Sequence[str], left: int, hoses: int
) -> tuple[str, ...]:
    for count in range(min(hoses, len(ports)), len(ports) + 1):
        choices = [
            choice
            for choice in combinations(ports, count)
            if len(drains.undrained(put, choice)) <= left
        ]
        if choices:
            return min(choices, key=lambda choice: (reach.farthest(choice), choice))
    return tuple(ports)


def _gauge(
    reach: _Reach, ports: Sequence[str], pumped: Sequence[str], reached: Sequence[Reached]
) -> GaugePlace | None:
    if not reached:
        return None
    last = max(reached, key=lambda one: (one.resistance, one.element))
    free = [port for port in ports if port not in pumped]
    if free:
        port = max(free, key=lambda port: (reach.at_port(port, pumped), port))
        return GaugePlace(port, tee=False, farthest=last.element)
    return GaugePlace(last.port, tee=True, farthest=last.element)


def _left(circuit: CircuitPlan, one: Section) -> Problem:
    inside = " and ".join(names.element(circuit, name) for name in one.elements[:2])
    return Problem(
        "section-not-evacuated",
        ("service_ports",),
        f"no service port pulls the section of the {inside}",
        "fit a service port there",
    )


class _Reach:
    """Resistance from every chamber to the pump, in the worst world."""

    def __init__(self, drains: Drains, put: States, sizes: Mapping[str, LineSize]) -> None:
        self.graph = drains.graph
        self._worlds = [
            [
                edge
                for edge in flows.edges(
                    self.graph,
                    graphs.passages(self.graph, states, VACUUM),
                    frozenset(),
                    sizes,
                )
                if not edge.lift
            ]
            for states in settings.worlds(drains.circuit, put)
        ]

    def all(self, pumped: Sequence[str]) -> tuple[Reached, ...]:
        """Each part and line with its resistance to the pump, at its worst."""
        worst: dict[str, Reached] = {}
        for edges in self._worlds:
            for chamber, (resistance, port, trail) in _nearest(
                edges, {self.graph.services[port]: port for port in pumped}
            ).items():
                element = self.graph.element(chamber)
                through = tuple(dict.fromkeys(self.graph.element(at) for at in trail))
                one = Reached(element, port, resistance, through)
                if element not in worst or worst[element].resistance < resistance:
                    worst[element] = one
        return tuple(worst.values())

    def farthest(self, pumped: Sequence[str]) -> float:
        """The highest resistance to the pump."""
        return max((one.resistance for one in self.all(pumped)), default=0.0)

    def at_port(self, port: str, pumped: Sequence[str]) -> float:
        """Resistance from a service port to the pump, at its worst."""
        starts = {self.graph.services[name]: name for name in pumped}
        found = [_nearest(edges, starts) for edges in self._worlds]
        at = self.graph.services[port]
        return max((one[at][0] for one in found if at in one), default=0.0)


def _nearest(
    edges: Sequence[Edge], starts: Mapping[int, str]
) -> dict[int, tuple[float, str, tuple[int, ...]]]:
    """For each chamber the least resistance to a start, which start, and the chambers between."""
    nearby: dict[int, list[tuple[int, float]]] = {}
    for edge in edges:
        nearby.setdefault(edge.a, []).append((edge.b, edge.resistance))
        nearby.setdefault(edge.b, []).append((edge.a, edge.resistance))
    found: dict[int, tuple[float, str, tuple[int, ...]]] = {}
    queue: list[tuple[float, str, tuple[int, ...]]]
    queue = sorted((0.0, port, (at,)) for at, port in starts.items())
    while queue:
        resistance, port, trail = heappop(queue)
        if trail[-1] in found:
            continue
        found[trail[-1]] = (resistance, port, trail)
        for other, more in nearby.get(trail[-1], []):
            if other not in found:
                heappush(queue, (resistance + more, port, (*trail, other)))
    return found
