"""The recovery plan: ports, valves held open, what would stay behind.

Nothing that may stick counts as a way out: no one-way part, no expansion valve.
"""

from __future__ import annotations

from collections.abc import Sequence

from packets.circuit import graph as graphs
from packets.circuit import kinds, names, settings
from packets.circuit.graph import RECOVERY, Graph
from packets.circuit.sections import groups, section, trapped_liquid
from packets.circuit.settings import States
from packets.model.circuits import CircuitPlan, Problem
from packets.model.hookups import PortUse, RecoveryPlan, Section


class Drains:
    """What drains to which service port for a use of the circuit, in every world of a setting."""

    def __init__(self, circuit: CircuitPlan, use: str) -> None:
        self.circuit, self.use = circuit, use
        self.graph: Graph = graphs.build(circuit)

    def worlds(
        self, put: States, freely: bool = False
    ) -> list[tuple[list[list[int]], frozenset[str]]]:
        """The groups of chambers at one pressure and the dead ports, world by world.

        `freely`: a capillary joins nothing, it takes hours.
        """
        found = []
        for states in settings.worlds(self.circuit, put):
            ways = graphs.passages(self.graph, states, self.use)
            if freely:
                ways = [way for way in ways if way.resistance <= kinds.THROTTLE]
            found.append((groups(self.graph, ways), settings.dead_ports(self.circuit, states)))
        return found

    def undrained(
        self, put: States, ports: Sequence[str], freely: bool = False
    ) -> tuple[Section, ...]:
        """Sections with none of these ports, that hold more than a valve's own cavity."""
        devices = set(self.circuit.parts)
        found: dict[tuple[str, ...], Section] = {}
        for group_list, dead in self.worlds(put, freely):
            live = {self.graph.services[port] for port in ports if port not in dead}
            for group in group_list:
                if live.intersection(group):
                    continue
                one = section(self.graph, group, self._shut(group, devices))
                if one.elements:
                    found[one.elements] = one
        return tuple(found.values())

    def _shut(self, group: Sequence[int], devices: set[str]) -> set[str]:
        """Parts of which only one side lies in the group."""
        inside = set(group)
        return {
            name
            for name in devices
            if not {self.graph.at_port[f"{name}.{port}"] for port in self.circuit.parts[name].ports}
            <= inside
        }

    def live(self, put: States) -> tuple[str, ...]:
        """Service ports that work in every world."""
        dead = frozenset().union(*(dead for _, dead in self.worlds(put)))
        return tuple(port for port in self.graph.services if port not in dead)


def opened(circuit: CircuitPlan) -> States:
    """Every valve that can be set, set open."""
    return {name: settings.opened(circuit, name) for name in settings.settable(circuit)}


def trimmed(drains: Drains, put: States, ports: Sequence[str], left: int) -> States:
    """Leave every valve as it stands that needs no setting to drain as much through these ports."""
    for name in list(put):
        fewer = {valve: state for valve, state in put.items() if valve != name}
        if set(ports) <= set(drains.live(fewer)) and len(drains.undrained(fewer, ports)) <= left:
            put = fewer
    return put


def recovery_plan(circuit: CircuitPlan) -> RecoveryPlan:
    """Where refrigerant is taken out, liquid first, and what must be open.

    `circuit` has passed `check` and carries the machine's differences.
    """
    drains = Drains(circuit, RECOVERY)
    put = opened(circuit)
    ports = drains.live(put)
    if not ports:
        return RecoveryPlan((), (), (), (), (), trapped_liquid(circuit), (_no_port(),))
    liquid = next((port for port in ports if is_liquid(drains.graph, port)), "")
    chosen = [liquid] if liquid else []
    chosen += _cover(drains, put, ports, chosen)
    left = drains.undrained(put, chosen)
    keeps = drains.undrained({}, chosen)
    put = trimmed(drains, put, chosen, len(left))
    problems = tuple(
        Problem(
            "section-keeps-refrigerant",
            ("service_ports",),
            f"{_between(circuit, one)} drains to no service port",
            "fit a service port there, or open a joint only after it is proved empty",
        )
        for one in left
    )
    return RecoveryPlan(
        liquid=tuple(_use(circuit, port) for port in chosen if port == liquid),
        vapor=tuple(_use(circuit, port) for port in chosen if port != liquid),
        valves=settings.as_settings(circuit, put),
        keeps=tuple(one for one in keeps if one not in left),
        left=left,
        trapped=trapped_liquid(circuit),
        problems=problems,
    )


def _cover(drains: Drains, put: States, ports: Sequence[str], chosen: Sequence[str]) -> list[str]:
    """The fewest more ports, taken one by one, that leave as little behind as all ports would."""

    def left(more: Sequence[str]) -> int:
        return len(drains.undrained(put, [*chosen, *more], freely=True))

    more: list[str] = []
    while left(more) > len(drains.undrained(put, ports, freely=True)):
        others = [port for port in ports if port not in (*chosen, *more)]
        more.append(min(others, key=lambda port: left([*more, port])))
    return more


def is_liquid(graph: Graph, port: str) -> bool:
    """Whether a service port opens to a volume full of liquid in service."""
    on = graph.circuit.service_ports[port].on
    line = graph.circuit.lines.get(on)
    if line is not None:
        return line.liquid
    met = [each for each in graph.circuit.lines.values() if on in (each.from_, each.to)]
    return all(each.liquid for each in met)


def _use(circuit: CircuitPlan, port: str) -> PortUse:
    return PortUse(port, core_out=circuit.service_ports[port].core)


def _no_port() -> Problem:
    return Problem(
        "no-service-port",
        ("service_ports",),
        "no service port can be used",
        "fit one on the liquid line and one on the suction line",
    )


def _between(circuit: CircuitPlan, one: Section) -> str:
    inside = " and ".join(names.element(circuit, name) for name in one.elements[:2])
    bounds = " and ".join(names.part(circuit, name) for name in one.bounds)
    return f"the section of the {inside} between the {bounds}" if bounds else f"the {inside}"
