"""Which hand valves shut the joints that a job names off from the compressor and its oil."""

from __future__ import annotations

from collections.abc import Mapping

from packets.circuit import graph as graphs
from packets.circuit import kinds, settings
from packets.circuit.graph import SHUT, Graph
from packets.circuit.recovery import opened
from packets.model.circuits import CircuitPlan
from packets.model.hookups import Isolation, ValveSetting

_BY_HAND = ("service-valve", "ball-valve")


def isolation(circuit: CircuitPlan, joints: tuple[str, ...]) -> Isolation:
    """The hand valves to shut so that no pipe leads from the compressor to these joints, and the
    port on their side that is opened to the air.

    No valve is named where shutting the hand valves leaves a way round, or leaves the joints no
    port; the port is then one that works with every valve open. `circuit` has passed `check`.
    """
    graph = graphs.build(circuit)
    put = opened(circuit)
    hand = [
        name
        for name in settings.settable(circuit)
        if circuit.parts[name].kind in _BY_HAND
        and kinds.set_with(circuit.parts[name]) == "stem"
        and settings.shut(circuit, name)
    ]
    shut = {name: settings.shut(circuit, name) for name in hand}
    if not joints or not shut or not _port(graph, {**put, **shut}, joints):
        return Isolation((), _any_port(graph, put))
    for name in hand:
        fewer = {valve: state for valve, state in shut.items() if valve != name}
        if fewer and _port(graph, {**put, **fewer}, joints):
            shut = fewer
    return Isolation(
        tuple(ValveSetting(name, state, "stem") for name, state in sorted(shut.items())),
        _port(graph, {**put, **shut}, joints),
    )


def _port(graph: Graph, put: Mapping[str, str], joints: tuple[str, ...]) -> str:
    """A service port that works on the joints' side while the compressor is shut off from them;
    empty where it is not shut off, in any way the other valves may stand, or there is no port."""
    circuit = graph.circuit
    free: set[str] | None = None
    for states in settings.worlds(circuit, put):
        zone = _reached(graph, states, joints)
        if any(graph.element(at) in _compressors(circuit) for at in zone):
            return ""
        dead = settings.dead_ports(circuit, states)
        live = {port for port, at in graph.services.items() if at in zone and port not in dead}
        free = live if free is None else free & live
    return next((port for port in graph.services if port in (free or ())), "")


def _reached(graph: Graph, states: Mapping[str, str], joints: tuple[str, ...]) -> set[int]:
    """The chambers that gas gets to from these joints, through whatever it can lift or leave by."""
    near: dict[int, set[int]] = {}
    for joint in graph.joints.values():
        a, b = joint.ends[0][1], joint.ends[1][1]
        near.setdefault(a, set()).add(b)
        near.setdefault(b, set()).add(a)
    for way in graphs.passages(graph, states):
        if way.forward != SHUT or way.back != SHUT:
            near.setdefault(way.a, set()).add(way.b)
            near.setdefault(way.b, set()).add(way.a)
    todo = [chamber for id in joints for _, chamber in graph.joints[id].ends]
    seen = set(todo)
    while todo:
        for other in near.get(todo.pop(), set()) - seen:
            seen.add(other)
            todo.append(other)
    return seen


def _compressors(circuit: CircuitPlan) -> set[str]:
    return {name for name, part in circuit.parts.items() if part.kind == "compressor"}


def _any_port(graph: Graph, put: Mapping[str, str]) -> str:
    dead: frozenset[str] = frozenset().union(
        *(
            settings.dead_ports(graph.circuit, states)
            for states in settings.worlds(graph.circuit, put)
        )
    )
    return next((port for port in graph.services if port not in dead), "")
