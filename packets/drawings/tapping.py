"""Service ports on the board: each on the side where there is most room."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass

from packets.drawings.geometry import SIDES, Node
from packets.drawings.routing import Field
from packets.model.circuits import CircuitPlan, ServicePort

AMPLE = 300  # lattice nodes in which equipment finds room


@dataclass(frozen=True)
class Tap:
    """A service port: where it sits, where its mouth is, and the part or line it opens."""

    at: Node
    mouth: Node
    element: str


def taps(
    circuit: CircuitPlan,
    ends: dict[str, tuple[Node, Node]],
    ways: dict[str, tuple[Node, ...]],
    ground: Field,
    reach: int = 2,
) -> dict[str, Tap] | None:
    """Every service port, taken on the ground; None if one finds no place. `reach` is the free
    steps that one needs beside it."""
    found: dict[str, Tap] = {}
    areas, lanes = _areas(ground), set[Node]()
    for name, service in circuit.service_ports.items():
        tap = _tap(service, ends, ways, ground, areas, reach)
        if tap is None:
            return None
        found[name] = tap
        (x, y), (to_x, to_y) = tap.at, tap.mouth
        ground.shut.update((tap.at, tap.mouth))
        # No other service port comes to stand where this one's hose leaves.
        lane = {(to_x + (to_x - x) * far, to_y + (to_y - y) * far) for far in (1, 2)}
        lanes |= lane - ground.shut
        ground.shut |= lane
    ground.shut -= lanes
    return found


def _areas(ground: Field) -> dict[Node, int]:
    """For each free node how many hang together with it; those outside of the circuit are many."""
    regions = {ground.node(cell): one for cell, one in enumerate(ground.regions()) if one}
    sizes = Counter(regions.values())
    sides = {at for (x, _), at in regions.items() if x in (ground.left, ground.right)}
    return {node: AMPLE if at in sides else sizes[at] for node, at in regions.items()}


def _tap(
    service: ServicePort,
    ends: dict[str, tuple[Node, Node]],
    ways: dict[str, tuple[Node, ...]],
    ground: Field,
    areas: dict[Node, int],
    reach: int,
) -> Tap | None:
    """A service port on the side where there is most room, near the end it is near."""
    if service.on in ends:
        node, look = ends[service.on]
        spots = [((node[0] - look[0], node[1] - look[1]), look)]
        element = service.on.split(".")[0]
    else:
        spots, element = list(_on_line(ways[service.on], service.near)), service.on
    found = [
        (index * 4 - _room(ground, at, side) - _space(areas, at, side), at, side)
        for index, (at, look) in enumerate(spots)
        for side in SIDES
        if side[0] * look[0] + side[1] * look[1] == 0 and _room(ground, at, side) >= reach
    ]
    if not found:
        return None
    _, at, side = min(found)
    return Tap(at, (at[0] + side[0], at[1] + side[1]), element)


def _space(areas: dict[Node, int], at: Node, side: Node) -> int:
    """What a side counts for the space it opens to."""
    return min(AMPLE, areas.get((at[0] + side[0], at[1] + side[1]), 0)) // 10


def _on_line(nodes: tuple[Node, ...], near: str) -> Iterator[tuple[Node, Node]]:
    """Straight places on a line, from the wanted one on, clear of the gaps at its ends."""
    last = len(nodes) - 1
    wanted = {"from": 4, "to": last - 4}.get(near, last // 2)
    inner = range(2, last - 1) if last >= 4 else range(1, last)
    for at in sorted(inner, key=lambda at: (abs(at - wanted), at)):
        before, after = nodes[at - 1], nodes[at + 1]
        step = (nodes[at][0] - before[0], nodes[at][1] - before[1])
        if (after[0] - nodes[at][0], after[1] - nodes[at][1]) == step:
            yield nodes[at], step


def _room(ground: Field, at: Node, side: Node, most: int = 8) -> int:
    """Free steps beside a place."""
    for step in range(1, most + 1):
        node = (at[0] + side[0] * step, at[1] + side[1] * step)
        inside = ground.left < node[0] < ground.right and ground.top < node[1] < ground.bottom
        if not inside or node in ground.shut or node in ground.across or node in ground.upright:
            return step - 1
    return most
