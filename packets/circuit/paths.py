"""The way the gas takes through parts and lines, for a hook-up that is settled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from heapq import heappop, heappush

from packets.circuit.flows import LEAST_FLOW, Edge, Flow
from packets.circuit.graph import Graph
from packets.circuit.openings import Opening
from packets.model.hookups import Leg


@dataclass(frozen=True)
class Way:
    """A way through the circuit: chambers and the edges between them."""

    chambers: tuple[int, ...]
    edges: tuple[Edge, ...]


def easiest(found: Sequence[Edge], start: int, end: int) -> Way | None:
    """The way of least resistance from one chamber to another; None when there is none."""
    nearby: dict[int, list[tuple[int, Edge]]] = {}
    for edge in found:
        nearby.setdefault(edge.a, []).append((edge.b, edge))
        if not edge.lift:
            nearby.setdefault(edge.b, []).append((edge.a, edge))
    count = 0  # breaks ties by age: edges have no order
    queue: list[tuple[float, int, Way]] = [(0.0, count, Way((start,), ()))]
    done: set[int] = set()
    while queue:
        resistance, _, way = heappop(queue)
        at = way.chambers[-1]
        if at == end:
            return way
        if at in done:
            continue
        done.add(at)
        for other, edge in nearby.get(at, []):
            if other not in done:
                count += 1
                longer = Way((*way.chambers, other), (*way.edges, edge))
                heappush(queue, (resistance + edge.resistance, count, longer))
    return None


def past(flow: Flow, joint: str, start: int, end: int) -> Way | None:
    """The way of the strongest flow through a joint; None when none runs through it.

    Pressure falls along a flow, so the way meets no chamber twice.
    """
    onward: dict[int, list[tuple[float, int, Edge]]] = {}
    backward: dict[int, list[tuple[float, int, Edge]]] = {}
    crossing: tuple[int, Edge, int] | None = None
    for edge, size in flow.through.items():
        if abs(size) < LEAST_FLOW:
            continue
        a, b = (edge.a, edge.b) if size > 0 else (edge.b, edge.a)
        onward.setdefault(a, []).append((abs(size), b, edge))
        backward.setdefault(b, []).append((abs(size), a, edge))
        if edge.name == joint:
            crossing = (a, edge, b)
    if crossing is None:
        return None
    first, second = _follow(backward, crossing[0], start), _follow(onward, crossing[2], end)
    return Way(
        (*first.chambers[::-1], *second.chambers),
        (*first.edges[::-1], crossing[1], *second.edges),
    )


def _follow(nearby: dict[int, list[tuple[float, int, Edge]]], start: int, end: int) -> Way:
    chambers, edges = [start], []
    while chambers[-1] != end:
        _, other, edge = max(nearby[chambers[-1]], key=lambda way: way[:2])
        chambers.append(other)
        edges.append(edge)
    return Way(tuple(chambers), tuple(edges))


def legs(graph: Graph, way: Way | None, inlet: Opening, vent: Opening) -> tuple[Leg, ...]:
    """A way as the parts and lines it runs through, each with where it comes in and goes out."""
    if way is None:
        return ()
    found: list[Leg] = []
    element, enters = graph.element(way.chambers[0]), _name(inlet)
    for edge, chamber in zip(way.edges, way.chambers[1:], strict=True):
        if edge.name in graph.joints:
            found.append(Leg(element, enters, edge.name))
            element, enters = graph.element(chamber), edge.name
    return (*found, Leg(element, enters, _name(vent)))


def _name(opening: Opening) -> str:
    return opening if isinstance(opening, str) else opening.joint


def lifted(way: Way | None) -> tuple[str, ...]:
    """One-way parts on the way."""
    return tuple(edge.name for edge in way.edges if edge.lift) if way else ()


def against(graph: Graph, way: Way | None) -> tuple[str, ...]:
    """Metering devices that the way runs through against their flow."""
    if way is None:
        return ()
    return tuple(
        edge.name
        for edge, enters in zip(way.edges, way.chambers, strict=False)
        if edge.name in graph.circuit.parts
        and graph.circuit.parts[edge.name].kind == "metering"
        and enters == edge.b
    )
