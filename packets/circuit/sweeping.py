"""Where the whole circuit is swept with nitrogen: in at one port, out at another, through the most.

Every valve is set open. What the gas does not run through is named: it has to find its own way
out, by the volumes swept and by the joints opened later.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from itertools import permutations

from packets.circuit import flows, paths, settings
from packets.circuit import graph as graphs
from packets.circuit.recovery import Drains, opened
from packets.model.circuits import CircuitPlan
from packets.model.hookups import Leg, LineSize, SweepPlan, Volumes


def sweep_plan(
    circuit: CircuitPlan, volumes: Volumes, sizes: Mapping[str, LineSize] | None = None
) -> SweepPlan | None:
    """The two ports between which the gas runs through the largest volume, of equals the fewest
    metres of tube, lifting nothing; None where the circuit has not two ports that are joined.

    `circuit` has passed `check` and carries the machine's differences.
    """
    drains = Drains(circuit, graphs.PURGE)
    put = opened(circuit)
    ports = drains.live(put)
    found = list(_ways(circuit, put, ports, sizes or {}))
    if not found:
        return None

    def through(
        one: tuple[str, str, tuple[Leg, ...], float],
    ) -> tuple[float, float, bool, str, str]:
        inlet, vent, legs, resistance = one
        backwards = _feeds_backwards(circuit, legs)
        return (
            round(-volumes.of(_elements(legs)).high, 9),
            round(resistance, 6),
            backwards,
            inlet,
            vent,
        )

    inlet, vent, legs, _ = min(found, key=through)
    passed = _elements(legs)
    kept = {valve: state for valve, state in put.items() if valve in passed}
    return SweepPlan(
        inlet,
        vent,
        settings.as_settings(circuit, kept),
        legs,
        tuple(name for name in circuit.parts if name not in passed),
    )


def _ways(
    circuit: CircuitPlan,
    put: settings.States,
    ports: tuple[str, ...],
    sizes: Mapping[str, LineSize],
) -> Iterator[tuple[str, str, tuple[Leg, ...], float]]:
    graph = graphs.build(circuit)
    states = settings.worlds(circuit, put)[0]
    joined = flows.edges(graph, graphs.passages(graph, states), frozenset(), sizes)
    edges = [edge for edge in joined if not edge.lift]
    for inlet, vent in permutations(ports, 2):
        way = paths.easiest(edges, graph.services[inlet], graph.services[vent])
        if way is not None:
            resistance = sum(edge.resistance for edge in way.edges)
            yield inlet, vent, paths.legs(graph, way, inlet, vent), resistance


def _feeds_backwards(circuit: CircuitPlan, legs: tuple[Leg, ...]) -> bool:
    """Whether the gas runs through a metering device against its flow."""
    return any(
        leg.element in circuit.parts
        and circuit.parts[leg.element].kind == "metering"
        and leg.enters == f"{leg.element}.{circuit.parts[leg.element].ports[-1]}"
        for leg in legs
    )


def _elements(legs: tuple[Leg, ...]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(leg.element for leg in legs))
