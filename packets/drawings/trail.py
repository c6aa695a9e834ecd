"""The way of the gas on the board: legs of a route as bent lines on lattice nodes."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from itertools import pairwise

from packets.drawings.board import GAP, Board
from packets.drawings.geometry import Node, Point
from packets.model.hookups import End, Leg

Open = Collection[tuple[str, str]]  # joint and owner of each end that stands open


def joint_of(board: Board, port: str) -> str:
    """The joint at a port; two ports that meet without tube have one, called by the first."""
    for line in board.circuit.lines.values():
        if line.direct and line.to == port:
            return line.from_
    return port


def end_of(board: Board, end: End) -> tuple[Point, Node]:
    """Where an open end lies, and which way it opens."""
    joint = board.joints[end.joint]
    x, y = joint.look
    if end.owner == joint.part:
        return joint.at, joint.look
    far = -1.05 if end.owner == "stub" else GAP
    return (joint.at[0] + x * far, joint.at[1] + y * far), (-x, -y)


def of_line(board: Board, name: str, opened: Open = ()) -> list[Node]:
    """The nodes of a line, short of its ends that stand open."""
    line = board.circuit.lines[name]
    nodes = list(board.ways[name])
    start, end = joint_of(board, line.from_), joint_of(board, line.to)
    owner = line.to.split(".")[0] if line.direct else name
    if (start, owner) in opened:
        nodes = nodes[GAP:]
    if not line.direct and (end, name) in opened:
        nodes = nodes[:-GAP]
    return nodes


def of_leg(board: Board, leg: Leg, opened: Open) -> list[list[Point]]:
    """The bent lines of one leg, in the direction of the gas."""
    if leg.element in board.circuit.lines:
        return _through_line(board, leg, opened)
    return _through_part(board, leg, opened)


def _through_line(board: Board, leg: Leg, opened: Open) -> list[list[Point]]:
    nodes = of_line(board, leg.element, opened)
    line = board.circuit.lines[leg.element]

    def at(place: str) -> int:
        if place in board.taps:
            return nodes.index(board.taps[place].at)
        return 0 if place == joint_of(board, line.from_) else len(nodes) - 1

    first, last = at(leg.enters), at(leg.leaves)
    some = nodes[first : last + 1] if first <= last else nodes[last : first + 1][::-1]
    return [[(float(x), float(y)) for x, y in some]]


def _through_part(board: Board, leg: Leg, opened: Open) -> list[list[Point]]:
    into = _stub(board, leg.element, leg.enters, opened)
    out = _stub(board, leg.element, leg.leaves, opened)
    if into and out and into[-1] == out[-1] and leg.enters != leg.leaves:
        # In by a service port on a stub and out at that stub's own joint.
        return [[into[0], out[0]]]
    return [one for one in (into, out[::-1]) if len(one) > 1]


def _stub(board: Board, part: str, place: str, opened: Open) -> list[Point]:
    """From a joint or service port of a part up to its symbol."""
    tap = board.circuit.service_ports.get(place)
    port = tap.on if tap else _port(board, part, place)
    node, look = board.placed[part].ports[port.partition(".")[2]]
    start = board.taps[place].at if tap else node
    points: list[Point] = [(float(start[0]), float(start[1])), _edge(board, part, node, look)]
    line = next(
        (one for one in board.circuit.lines.items() if one[1].direct and one[1].to == port), None
    )
    if line and not tap:
        # What joins two parts without tube belongs to the second.
        return [*((float(x), float(y)) for x, y in of_line(board, line[0], opened)), points[-1]]
    return points


def _port(board: Board, part: str, joint: str) -> str:
    """The port of a part that lies at a joint."""
    ports = [f"{part}.{port}" for port in board.circuit.parts[part].ports]
    return next(port for port in ports if joint_of(board, port) == joint)


def _edge(board: Board, part: str, node: Node, look: Node) -> Point:
    """Where a stub meets its symbol."""
    body = board.placed[part].body
    if look[0]:
        return (body.right if look[0] > 0 else body.left), float(node[1])
    return float(node[0]), (body.bottom if look[1] > 0 else body.top)


def stubs(board: Board, part: str) -> list[list[Point]]:
    """The stubs of a symbol, from its edge to its joints."""
    found = []
    for node, look in board.placed[part].ports.values():
        found.append([_edge(board, part, node, look), (float(node[0]), float(node[1]))])
    return found


def arrows(points: Sequence[Point], every: float = 15.0) -> list[tuple[Point, Node]]:
    """Places and directions of the arrow heads on a bent line: the longest stretches' middles."""
    found: list[tuple[float, Point, Node]] = []
    for (x, y), (to_x, to_y) in pairwise(points):
        long = abs(to_x - x) + abs(to_y - y)
        if long < 1.6:
            continue
        look = (int(to_x > x) - int(to_x < x), int(to_y > y) - int(to_y < y))
        count = max(1, round(long / every))
        for at in range(count):
            share = (at + 0.5) / count
            found.append((long, (x + (to_x - x) * share, y + (to_y - y) * share), look))
    longest = max((long for long, _, _ in found), default=0.0)
    return [(at, look) for long, at, look in found if long >= min(4.0, longest)]
