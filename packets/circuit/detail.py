"""A settled hook-up spelled out: caps, cores, valves, the way of the gas and its pressures."""

from __future__ import annotations

from itertools import chain

from packets.circuit import flows, paths, settings
from packets.circuit.graph import Graph
from packets.circuit.openings import Made, Opening, Openings
from packets.circuit.routes import Finder, Grade, Hookup
from packets.model.hookups import End, Inlet, Leg, Route, Span, ValveSetting, Vent


def route(finder: Finder, made: Made, joint: str, hookup: Hookup) -> Route:
    """The route of a hook-up that the finder has found good."""
    openings, graph = finder.openings, finder.openings.graph
    inlet, vent, put = hookup.inlet, hookup.vent, hookup.put
    ways = _ways(finder, made, joint, hookup)
    caps, keep = _closed(openings, made, joint, hookup)
    sole = hookup.grade is not Grade.SPLIT and _sole(finder, made, joint, hookup)
    lifts = [name for way in ways for name in paths.lifted(way)]
    against = [name for way in ways for name in paths.against(graph, way)]
    at_inlet, at_joint = _pressures(finder, made, joint, hookup)
    return Route(
        inlet=_inlet(graph, inlet, joint),
        vent=_vent(graph, vent),
        caps=caps,
        keep_closed=keep,
        valves=_valves(openings, made, joint, put),
        sole=sole,
        share=Span(1.0, 1.0) if sole else finder.share(made, joint, put, inlet, vent),
        legs=paths.legs(graph, ways[0], inlet, vent),
        beside=() if sole else _beside_way(finder, made, joint, hookup),
        lifts=tuple(dict.fromkeys(lifts)),
        against=tuple(dict.fromkeys(against)),
        either_way=_either_way(openings, put, ways),
        inlet_pressure=at_inlet,
        joint_pressure=at_joint,
        pressed=hookup.grade is Grade.PRESSED,
    )


def _sole(finder: Finder, made: Made, joint: str, hookup: Hookup) -> bool:
    share = finder.share(made, joint, hookup.put, hookup.inlet, hookup.vent)
    return share.low > 1 - 1e-6


def _ways(finder: Finder, made: Made, joint: str, hookup: Hookup) -> list[paths.Way | None]:
    """The way of the gas in each world; a joint that is pressed in one has a way there too."""
    openings = finder.openings
    start, end = openings.chamber(hookup.inlet), openings.chamber(hookup.vent)
    cases = finder.flow(made, joint, hookup.put, hookup.inlet, hookup.vent)
    found = [
        next((flow for flow, _ in world if flow and flow.past(joint)), None) for world in cases
    ]
    return [paths.past(flow, joint, start, end) if flow else None for flow in found]


def _beside_way(finder: Finder, made: Made, joint: str, hookup: Hookup) -> tuple[Leg, ...]:
    """The easiest way that leaves the joint out."""
    openings = finder.openings
    world = openings.worlds(hookup.put)[0]
    apart = frozenset(openings.loose) - made
    found = flows.edges(openings.graph, world.ways, apart, openings.sizes)
    start, end = openings.chamber(hookup.inlet), openings.chamber(hookup.vent)
    way = paths.easiest(found, start, end)
    return paths.legs(openings.graph, way, hookup.inlet, hookup.vent)


def _closed(
    openings: Openings, made: Made, joint: str, hookup: Hookup
) -> tuple[tuple[End, ...], tuple[End, ...]]:
    """The open ends that gas gets to, to be capped, and the others, to be kept closed."""
    caps: list[End] = []
    keep: list[End] = []
    worlds = openings.worlds(hookup.put)
    start = openings.chamber(hookup.inlet)
    floods = [world.zones.flood(world.zones.of(start), (*made, joint)) for world in worlds]
    for end in openings.open_ends(made, joint):
        if end in (hookup.inlet, hookup.vent):
            continue
        at = openings.chamber(end)
        reached = any(
            flood & world.zones.of(at) for world, flood in zip(worlds, floods, strict=True)
        )
        (caps if reached else keep).append(end)
    return tuple(caps), tuple(keep)


def _valves(openings: Openings, made: Made, joint: str, put: int) -> tuple[ValveSetting, ...]:
    gone = openings.absent(made, joint)
    found = settings.as_settings(openings.graph.circuit, openings.puts[put])
    return tuple(setting for setting in found if setting.part not in gone)


def _either_way(openings: Openings, put: int, ways: list[paths.Way | None]) -> tuple[str, ...]:
    """Valves whose position nobody knows, where it changes the way of the gas."""
    worlds = openings.worlds(put)
    if len({way.chambers if way else () for way in ways}) == 1:
        return ()
    first = worlds[0].states
    return tuple(
        name for name in first if any(world.states[name] != first[name] for world in worlds[1:])
    )


def _pressures(finder: Finder, made: Made, joint: str, hookup: Hookup) -> tuple[Span, Span]:
    """Pressure at the inlet and at the joint above the vent, at a trickle [Pa]."""
    inlets: list[float] = []
    joints: list[float] = []
    openings = finder.openings
    start = openings.chamber(hookup.inlet)
    sides = [chamber for _, chamber in openings.graph.joints[joint].ends]
    cases = finder.flow(made, joint, hookup.put, hookup.inlet, hookup.vent)
    for flow, size in chain.from_iterable(cases):
        if flow is not None:
            inlets.append(flows.pressure(flow.above[start], size))
            joints.append(flows.pressure(max(flow.above[side] for side in sides), size))
    return _span(inlets), _span(joints)


def _span(found: list[float]) -> Span:
    return Span(min(found), max(found)) if found else Span(0.0, 0.0)


def _cored(graph: Graph, port: str) -> bool:
    return graph.circuit.service_ports[port].core


def _inlet(graph: Graph, inlet: Opening, joint: str) -> Inlet:
    if isinstance(inlet, str):
        return Inlet(port=inlet, core_out=_cored(graph, inlet) and _beside(graph, inlet, joint))
    return Inlet(end=inlet)


def _vent(graph: Graph, vent: Opening) -> Vent:
    if isinstance(vent, str):
        return Vent(port=vent, core_out=_cored(graph, vent))
    return Vent(end=vent)


def _beside(graph: Graph, port: str, joint: str) -> bool:
    """Whether a port sits so near a joint that the torch would spoil its core."""
    service = graph.circuit.service_ports[port]
    line = graph.circuit.lines.get(service.on)
    if line is None:
        return graph.joint_of.get(service.on) == joint
    return {"from": line.from_, "to": line.to}.get(service.near) == joint
