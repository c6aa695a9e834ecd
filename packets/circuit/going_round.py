"""Whether gas can run round a circuit: a one-way part that faces the wrong way stops it."""

from __future__ import annotations

from collections.abc import Iterator

from packets.circuit import graph as graphs
from packets.circuit import kinds, settings
from packets.circuit.graph import FREE, SHUT
from packets.model.circuits import CircuitPlan, Problem


def check(circuit: CircuitPlan) -> Iterator[Problem]:
    """Gas that leaves a compressor comes back to it, with every valve open that can be."""
    put = {
        name: settings.opened(circuit, name)
        for name, part in circuit.parts.items()
        if any(not state.open for state in kinds.states(part).values())
    }
    for states in settings.worlds(circuit, put):
        for name, part in circuit.parts.items():
            if part.kind != "compressor":
                continue
            wrong = _stopped(circuit, states, name)
            if wrong is not None:
                yield wrong
                return


def _stopped(circuit: CircuitPlan, states: dict[str, str], name: str) -> Problem | None:
    """The part at which gas from the compressor is held back for good; None when it comes round."""
    graph = graphs.build(circuit)
    ports = circuit.parts[name].ports
    start, end = graph.at_port[f"{name}.{ports[1]}"], graph.at_port[f"{name}.{ports[0]}"]
    near: dict[int, list[int]] = {}
    for joint in graph.joints.values():
        a, b = joint.ends[0][1], joint.ends[1][1]
        near.setdefault(a, []).append(b)
        near.setdefault(b, []).append(a)
    stops: list[tuple[int, int, str]] = []
    for way in graphs.passages(graph, states):
        for a, b, can in ((way.a, way.b, way.forward), (way.b, way.a, way.back)):
            if can != SHUT and way.part != name:
                near.setdefault(a, []).append(b)
            elif can == SHUT and FREE not in (way.forward, way.back) and way.part != name:
                stops.append((a, b, way.part))
    seen, todo = {start}, [start]
    while todo:
        for other in near.get(todo.pop(), []):
            if other not in seen:
                seen.add(other)
                todo.append(other)
    if end in seen:
        return None
    at = next((part for a, b, part in stops if a in seen and b not in seen), name)
    return Problem(
        "no-way-round",
        ("parts", at),
        f"gas that leaves the {name} does not come back to it: {at} holds it back",
        f"turn {at} round: its ports stand in the order of flow",
    )
