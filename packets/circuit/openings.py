"""The circuit with joints open: which parts are there, which ends stand open, how valves stand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

from packets.circuit import kinds, settings
from packets.circuit.graph import Graph, Passage, passages
from packets.circuit.settings import States
from packets.circuit.zones import Zones
from packets.model.hookups import End, LineSize

Opening = str | End  # a service port by name, or an open end
Made = frozenset[str]


@dataclass(frozen=True)
class World:
    """One way all valves may stand, and where gas gets to then."""

    states: States
    ways: tuple[Passage, ...]
    zones: Zones
    unthrottled: Zones
    dead: frozenset[str]


@dataclass
class Openings:
    """The joints that a job opens, in a graph.

    `loose` are those joints, `out` the parts that are away until their first joint is made, `puts`
    the settings of the valves worth trying, the first with every valve open.
    """

    graph: Graph
    loose: tuple[str, ...]
    out: frozenset[str]
    sizes: Mapping[str, LineSize] = field(default_factory=dict)
    puts: tuple[States, ...] = ()
    throttled: bool = field(init=False)

    def __post_init__(self) -> None:
        self._worlds: dict[int, tuple[World, ...]] = {}
        self._ports: dict[tuple[frozenset[str], int], tuple[str, ...]] = {}
        parts = self.graph.circuit.parts.values()
        self.throttled = any(kinds.kind(part).resistance > kinds.THROTTLE for part in parts)
        if not self.puts:
            self.puts = tuple(_puts(self.graph, self.out))
        self._ends = [
            End(id, owner)
            for id in self.loose
            for owner, _ in self.graph.joints[id].ends
            if owner not in self.graph.cut
        ]
        self._mouths = [End(id, "stub") for id in self.graph.stubs]

    def worlds(self, put: int) -> tuple[World, ...]:
        """Every way the valves may stand with setting number `put`."""
        if put not in self._worlds:
            every = settings.worlds(self.graph.circuit, self.puts[put])
            self._worlds[put] = tuple(self._world(states) for states in every)
        return self._worlds[put]

    def _world(self, states: States) -> World:
        ways = tuple(passages(self.graph, states))
        zones = Zones(self.graph, ways, self.loose)
        unthrottled = Zones(self.graph, ways, self.loose, kinds.THROTTLE)
        return World(
            states, ways, zones, unthrottled, settings.dead_ports(self.graph.circuit, states)
        )

    def chamber(self, opening: Opening) -> int:
        """The chamber that a service port or an end opens."""
        if isinstance(opening, str):
            return self.graph.services[opening]
        if opening.owner == "stub":
            return self.graph.stubs[opening.joint]
        ends = self.graph.joints[opening.joint].ends
        return ends[0][1] if ends[0][0] == opening.owner else ends[1][1]

    def absent(self, made: Made, joint: str) -> frozenset[str]:
        """Parts that are not there yet while this joint is brazed."""
        there = {part for id in (*made, joint) for part in self.graph.joints[id].parts}
        return self.out - there

    def open_ends(self, made: Made, joint: str) -> tuple[End, ...]:
        """The ends that stand open while this joint is brazed."""
        gone = self.absent(made, joint)
        undone = {id for id in self.loose if id != joint and id not in made}
        ends = [end for end in self._ends if end.joint in undone and end.owner not in gone]
        return (*ends, *(mouth for mouth in self._mouths if mouth.joint not in undone))

    def ports(self, made: Made, joint: str, put: int) -> tuple[str, ...]:
        """The service ports that work while this joint is brazed, in every world."""
        gone = self.absent(made, joint)
        if (gone, put) not in self._ports:
            dead = frozenset().union(*(world.dead for world in self.worlds(put)))
            self._ports[gone, put] = tuple(
                name
                for name, chamber in self.graph.services.items()
                if name not in dead and self.graph.element(chamber) not in gone
            )
        return self._ports[gone, put]


def _puts(graph: Graph, out: frozenset[str]) -> Iterator[States]:
    """Settings worth trying: every valve open, then one of them shut."""
    circuit = graph.circuit
    valves = settings.settable(circuit, graph.cut)
    opened = {name: settings.opened(circuit, name) for name in valves}
    yield opened
    for name in valves:
        state = settings.shut(circuit, name)
        if state and name not in out:
            yield {**opened, name: state}
