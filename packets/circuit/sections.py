"""Sections: the volumes that shut devices cut a circuit into, and liquid that they can trap.

A device with a seat belongs to no section, but for a compressor: its shell is a volume of the
suction side.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence

from packets.circuit import graph as graphs
from packets.circuit import kinds, settings
from packets.circuit.graph import FREE, Graph, Passage
from packets.model.circuits import CircuitPlan, Passes, ValveState
from packets.model.hookups import Section, TrappedLiquid, ValveSetting


def sections(circuit: CircuitPlan, shut: Collection[str] | None = None) -> tuple[Section, ...]:
    """The sections that devices cut off when all of `shut` are shut (None: all that can be).

    Compressors always part their two sides. A valve that nobody can set is taken in the first
    state it may stand in. Service ports that a back-seated valve shuts off are still named.
    """
    graph = graphs.build(circuit)
    devices = {name for name, part in circuit.parts.items() if kinds.can_shut(part)}
    if shut is not None:
        devices = {
            name for name in devices if name in shut or circuit.parts[name].kind == "compressor"
        }
    put = {name: settings.opened(circuit, name) for name in settings.settable(circuit)}
    states = settings.worlds(circuit, put)[0]
    ways = [way for way in graphs.passages(graph, states) if way.part not in devices]
    return tuple(section(graph, group, devices) for group in groups(graph, ways))


def section_of(found: Iterable[Section], element: str) -> Section | None:
    """The section a part or line lies in; None for a device between two."""
    return next((one for one in found if one.holds(element)), None)


def groups(graph: Graph, ways: Sequence[Passage]) -> list[list[int]]:
    """Chambers that stand at one pressure: joined by joints and by ways that pass both ways."""
    near: dict[int, list[int]] = {at: [] for at in range(len(graph.chambers))}
    for joint in graph.joints.values():
        a, b = joint.ends[0][1], joint.ends[1][1]
        near[a].append(b)
        near[b].append(a)
    for way in ways:
        if way.forward == way.back == FREE:
            near[way.a].append(way.b)
            near[way.b].append(way.a)
    found: list[list[int]] = []
    seen: set[int] = set()
    for start in near:
        if start in seen:
            continue
        group, todo = {start}, [start]
        while todo:
            for other in near[todo.pop()]:
                if other not in group:
                    group.add(other)
                    todo.append(other)
        seen |= group
        found.append(sorted(group))
    return found


def section(graph: Graph, group: Sequence[int], devices: Collection[str]) -> Section:
    """A group of chambers as a section; `devices` are its possible bounds."""
    elements: dict[str, None] = {}
    bounds: dict[str, None] = {}
    for chamber in group:
        name = graph.element(chamber)
        (elements if _inside(graph, chamber, name in devices) else bounds)[name] = None
    inside = set(group)
    ports = tuple(name for name, chamber in graph.services.items() if chamber in inside)
    # A device with both sides in the section parts nothing.
    whole = {
        name
        for name in bounds
        if {graph.at_port[f"{name}.{port}"] for port in graph.circuit.parts[name].ports} <= inside
    }
    names = tuple(dict.fromkeys((*elements, *(name for name in bounds if name in whole))))
    rest = tuple(name for name in bounds if name not in whole)
    return Section(names, rest, ports, all(_liquid(graph, chamber) for chamber in group))


def _inside(graph: Graph, chamber: int, device: bool) -> bool:
    """A line, a plain part or an open device is inside; of a compressor its suction side is."""
    if not device:
        return True
    part = graph.circuit.parts[graph.element(chamber)]
    first = f"{graph.element(chamber)}.{part.ports[0]}"
    return part.kind == "compressor" and graph.at_port[first] == chamber


def _liquid(graph: Graph, chamber: int) -> bool:
    """Whether a chamber is full of liquid in service."""
    name = graph.element(chamber)
    line = graph.circuit.lines.get(name)
    if line is not None:
        return line.liquid
    if kinds.kind(graph.circuit.parts[name]).vapor_space:
        return False
    ports = graph.chambers[chamber].ports
    met = [line for line in graph.circuit.lines.values() if line.from_ in ports or line.to in ports]
    return bool(met) and all(line.liquid for line in met)


def trapped_liquid(circuit: CircuitPlan) -> tuple[TrappedLiquid, ...]:
    """Every smallest section that shut devices can hold while it is full of liquid.

    A warming section like that bursts: liquid has no room. A device counts as shut towards the
    section only if it holds that way: a closed solenoid is lifted from behind, so what lies behind
    it is held together with what lies before it.
    """
    graph = graphs.build(circuit)
    devices = {name for name, part in circuit.parts.items() if kinds.can_shut(part)}
    put = {name: settings.opened(circuit, name) for name in settings.settable(circuit)}
    states = settings.worlds(circuit, put)[0]
    open_ways = graphs.passages(graph, states)
    found = groups(graph, [way for way in open_ways if way.part not in devices])
    group_at = {chamber: at for at, group in enumerate(found) for chamber in group}
    liquid = [all(_liquid(graph, chamber) for chamber in group) for group in found]
    exits = _exits(graph, circuit, open_ways, devices)
    kept: dict[tuple[int, ...], TrappedLiquid] = {}
    for start, full in enumerate(liquid):
        members = _spread(start, exits, group_at) if full else set()
        if not members or not all(liquid[at] for at in members):
            continue
        chambers = sorted(chamber for at in members for chamber in found[at])
        one = section(graph, chambers, devices)
        # Two chambers of one liquid joint between devices hold nothing worth a caution.
        if any(name in circuit.lines for name in one.elements):
            kept[tuple(sorted(members))] = TrappedLiquid(
                one, one.bounds, tuple(_relief(circuit, one))
            )
    return tuple(kept.values())


def _exits(
    graph: Graph, circuit: CircuitPlan, ways: Sequence[Passage], devices: Collection[str]
) -> dict[int, list[int]]:
    """From each chamber, the chambers that a shut device lets gas or liquid out to."""
    exits: dict[int, list[int]] = {}
    for way in ways:
        if way.part not in devices:
            continue
        forward, back = _held(circuit, way.part)
        for a, b, holds in ((way.a, way.b, forward), (way.b, way.a, back)):
            if not holds:
                exits.setdefault(a, []).append(b)
    return exits


def _held(circuit: CircuitPlan, name: str) -> tuple[bool, bool]:
    """Whether a device, shut as far as it goes, holds forward and back."""
    part = circuit.parts[name]
    if kinds.kind(part).shuts_itself:
        return True, True
    known = kinds.states(part)
    state = known.get(settings.shut(circuit, name), ValveState()) if known else ValveState()
    rule: Passes = kinds.passes(part)
    holds = {"yes": False, "no": True, "only-if-open": not state.open}
    return holds[rule.forward], holds[rule.back]


def _spread(
    start: int, exits: Mapping[int, Sequence[int]], group_at: Mapping[int, int]
) -> set[int]:
    """The groups that liquid from one group can push into."""
    seen, todo = {start}, [start]
    while todo:
        at = todo.pop()
        for chamber, outs in exits.items():
            if group_at[chamber] != at:
                continue
            for other in outs:
                if group_at[other] not in seen:
                    seen.add(group_at[other])
                    todo.append(group_at[other])
    return seen


def _relief(circuit: CircuitPlan, one: Section) -> Iterator[ValveSetting]:
    """The bounds that can be opened by hand, any one of which lets the liquid out."""
    for name in one.bounds:
        part = circuit.parts[name]
        if kinds.set_with(part) and len(kinds.states(part)) > 1:
            yield ValveSetting(name, settings.opened(circuit, name), kinds.set_with(part))
