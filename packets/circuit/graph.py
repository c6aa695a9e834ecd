"""A circuit as chambers: volumes in which gas stands at one pressure, and what joins them.

Each line is a chamber, each plain part is one, and a part with a seat inside is one a port, with a
passage between. Built once for a circuit; valve states and open joints are looked at later.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from dataclasses import dataclass, field

from packets.circuit import kinds
from packets.model.circuits import CircuitPart, CircuitPlan, ValveState

FREE, LIFT, SHUT = "free", "lift", "shut"

# What the gas is for decides what it can do: nitrogen at a trickle lifts a one-way part, a vacuum
# has nothing to lift it with, and while refrigerant is taken out nothing that may stick counts.
PURGE, RECOVERY, VACUUM = "purge", "recovery", "vacuum"


@dataclass(frozen=True)
class Chamber:
    """A volume of one pressure, in a part or line. `ports` are the ports that open into it."""

    element: str
    ports: tuple[str, ...]


@dataclass(frozen=True)
class Joint:
    """Where a port meets a line, or another port. `ends` are owner and chamber of either side."""

    id: str
    parts: tuple[str, ...]
    ends: tuple[tuple[str, int], tuple[str, int]]


@dataclass(frozen=True)
class Passage:
    """A way between two chambers of a part, and whether gas passes it from a to b and back."""

    part: str
    a: int
    b: int
    forward: str
    back: str
    resistance: float


@dataclass
class Graph:
    """The chambers and joints of a circuit."""

    circuit: CircuitPlan
    chambers: list[Chamber] = field(default_factory=list)
    at_port: dict[str, int] = field(default_factory=dict)
    at_line: dict[str, int] = field(default_factory=dict)
    joints: dict[str, Joint] = field(default_factory=dict)
    joint_of: dict[str, str] = field(default_factory=dict)
    services: dict[str, int] = field(default_factory=dict)
    stubs: dict[str, int] = field(default_factory=dict)
    cut: frozenset[str] = frozenset()

    def element(self, chamber: int) -> str:
        """The part or line that a chamber lies in."""
        return self.chambers[chamber].element

    def joints_at(self, part: str) -> tuple[str, ...]:
        """The joints of a part, in the order of its ports."""
        ports = self.circuit.parts[part].ports
        named = (self.joint_of.get(f"{part}.{port}") for port in ports)
        return tuple(dict.fromkeys(name for name in named if name))

    def add(self, element: str, ports: tuple[str, ...]) -> int:
        """Add a chamber; returns its number."""
        self.chambers.append(Chamber(element, ports))
        return len(self.chambers) - 1


def build(circuit: CircuitPlan, cut: Collection[str] = ()) -> Graph:
    """The graph of a circuit that `check` has passed. `cut` parts are stubs on their lines."""
    graph = Graph(circuit, cut=frozenset(cut))
    for name, part in circuit.parts.items():
        _part(graph, name, part)
    for name, line in circuit.lines.items():
        _line(graph, name, line.from_, line.to, line.direct)
    for name, service in circuit.service_ports.items():
        if service.on.split(".")[0] in graph.cut:
            continue
        on_line = graph.at_line.get(service.on)
        graph.services[name] = graph.at_port[service.on] if on_line is None else on_line
    return graph


def _part(graph: Graph, name: str, part: CircuitPart) -> None:
    ports = tuple(f"{name}.{port}" for port in part.ports)
    apart = name in graph.cut or kinds.can_shut(part) or part.kind == "metering"
    apart = apart or any(state.joins for state in kinds.states(part).values())
    if not apart:
        chamber = graph.add(name, ports)
        graph.at_port.update(dict.fromkeys(ports, chamber))
        return
    for port in ports:
        graph.at_port[port] = graph.add(name, (port,))


def _line(graph: Graph, name: str, start: str, end: str, direct: bool) -> None:
    if direct:
        parts = (start.split(".")[0], end.split(".")[0])
        ends = ((parts[0], graph.at_port[start]), (parts[1], graph.at_port[end]))
        graph.joints[start] = Joint(start, parts, ends)
        graph.joint_of[start] = graph.joint_of[end] = start
        for part, port in zip(parts, (start, end), strict=True):
            if part in graph.cut:
                graph.stubs[start] = graph.at_port[port]
        return
    chamber = graph.add(name, ())
    graph.at_line[name] = chamber
    for port in (start, end):
        part = port.split(".")[0]
        ends = ((part, graph.at_port[port]), (name, chamber))
        graph.joints[port] = Joint(port, (part,), ends)
        graph.joint_of[port] = port
        if part in graph.cut:
            graph.stubs[port] = graph.at_port[port]


def passages(graph: Graph, states: Mapping[str, str], use: str = PURGE) -> list[Passage]:
    """Every way through a part with a seat, as it is in these states and for this use."""
    found: list[Passage] = []
    for name, part in graph.circuit.parts.items():
        if name in graph.cut:
            continue
        ports = [graph.at_port[f"{name}.{port}"] for port in part.ports]
        if len(set(ports)) == 1:
            continue
        known = kinds.states(part)
        state = known[states[name]] if known else ValveState()
        resistance = kinds.kind(part).resistance
        if state.joins:
            for group in state.joins:
                inside = [graph.at_port[f"{name}.{port}"] for port in group]
                found += [
                    Passage(name, inside[0], other, FREE, FREE, resistance) for other in inside[1:]
                ]
        elif len(ports) == 2:
            way = _ways(part, state, use)
            found.append(Passage(name, ports[0], ports[1], *way, resistance))
    return found


def _ways(part: CircuitPart, state: ValveState, use: str) -> tuple[str, str]:
    """Forward and back through a two-port part. What passes one way only must be lifted."""
    if use == RECOVERY and kinds.kind(part).shuts_itself:
        return SHUT, SHUT
    rule = kinds.passes(part)
    open_ = {"yes": True, "no": False, "only-if-open": state.open}
    forward, back = open_[rule.forward], open_[rule.back]
    if forward and back:
        return FREE, FREE
    lifted = LIFT if use == PURGE else SHUT
    return (lifted if forward else SHUT), (lifted if back else SHUT)
