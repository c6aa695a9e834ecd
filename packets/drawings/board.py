"""The circuit laid out once for a size: symbols, lines, joints and service ports on the lattice.

Every drawing of a job is drawn on the same board, so that the technician finds each part where it
was on the page before.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from itertools import chain

from packets.drawings import folding, placing, tapping, turning
from packets.drawings.drawing import FULL, Size
from packets.drawings.geometry import Box, Node, Point, around, bars, corners
from packets.drawings.masks import Mask
from packets.drawings.routing import Field, way
from packets.drawings.tapping import Tap
from packets.drawings.turning import Placed
from packets.model.circuits import CircuitPlan

STRIP = 22  # free lattice steps below the circuit, cut off again where nothing came to lie there
# mm that words keep off symbols and the middles of lines.
AIR, HALF_LINE = 0.5, 0.9
_ASIDE = 8  # columns kept free where it is hooked up on the left
_OWN = 4  # lattice steps that another layout has to be lower than the circuit's own places
_MORE = (0, 6, 14)  # rows beyond those of the size, where lines find no way
GAP = 1  # steps from a joint to the line's end while the joint stands open


_Lying = tuple[CircuitPlan, dict[str, Placed]]  # the circuit with its places, its symbols turned


class CannotDraw(ValueError):
    """A circuit that finds no room at this size."""


@dataclass(frozen=True)
class Joint:
    """Where a joint lies, and which way its part's stub looks."""

    at: Node
    look: Node
    part: str


@dataclass(frozen=True)
class Board:
    """A laid-out circuit. Places are lattice nodes; a line's way holds every node of it."""

    circuit: CircuitPlan
    size: Size
    width: int
    height: int
    placed: dict[str, Placed]
    ways: dict[str, tuple[Node, ...]]
    taps: dict[str, Tap]
    joints: dict[str, Joint]
    ground: Field
    taken: Mask
    solid: Mask
    extent: tuple[Box, ...]

    @cached_property
    def reach(self) -> tuple[float, float]:
        """The top and the foot of the circuit on the sheet [mm]."""
        return min(box.top for box in self.extent), max(box.bottom for box in self.extent)

    @property
    def leans_left(self) -> bool:
        """Whether a service port looks out of the circuit to the left."""
        return any(
            tap.mouth[0] < min(tap.at[0], min(one.whole.left for one in self.placed.values()) + 2)
            for tap in self.taps.values()
        )

    def mouth(self, port: str) -> tuple[Node, Node]:
        """The mouth of a service port, and which way it looks."""
        tap = self.taps[port]
        return tap.mouth, (tap.mouth[0] - tap.at[0], tap.mouth[1] - tap.at[1])

    def at(self, node: Point) -> Point:
        """A lattice place on the sheet [mm]."""
        return at(self.size, node)

    def box(self, box: Box) -> Box:
        """A box of the lattice on the sheet."""
        return around([self.at(box[:2]), self.at(box[2:])])


def at(size: Size, node: Point) -> Point:
    """A lattice place on a sheet of some size [mm]."""
    left = (size.width_mm - size.columns * size.pitch) / 2
    return left + node[0] * size.pitch, node[1] * size.pitch


def lay_out(circuit: CircuitPlan, size: Size = FULL) -> Board:
    """The board of a circuit that `packets.circuit.checking` has passed.

    The circuit's own places are kept if they fit the width, else its parts are laid round a
    rectangle in the order of flow; at a flat size, whichever of these is lowest. Raises
    `CannotDraw` if no way of lying is found.
    """
    for lying, more in _attempts(circuit, size):
        board = _tried(circuit, lying, size, size.margin, more)
        if board and board.leans_left:
            # Service ports that look out to the left: room there for what is hooked up.
            board = _tried(circuit, lying, size, size.margin + _ASIDE, more) or board
        if board:
            return board
    raise CannotDraw(f"{circuit.circuit} finds no room on {size.width_mm} mm")


def _attempts(circuit: CircuitPlan, size: Size) -> Iterator[tuple[_Lying, int]]:
    """Ways to lay a circuit out, each with how many rows it gets beyond those of the size.

    More rows seldom help a line that finds no way, so at a flat size every other way comes first.
    """
    if not size.flat:
        yield from ((lying, more) for lying in _lyings(circuit, size) for more in _MORE)
        return
    known: list[_Lying] = []
    for lying in _flattest(circuit, size):
        known.append(lying)
        yield lying, _MORE[0]
    yield from ((lying, more) for more in _MORE[1:] for lying in known)


def _lyings(circuit: CircuitPlan, size: Size) -> Iterator[_Lying]:
    """The ways to lay a circuit out, its own places first."""
    room = size.columns - 2 * size.margin
    ways = turning.ways(circuit, size.symbols)
    for places in chain([circuit], folding.folded(circuit, room, size.sides)):
        yield places, turning.turned(places, ways)


def _flattest(circuit: CircuitPlan, size: Size) -> Iterator[_Lying]:
    """The lowest first; the circuit's own places count as a little lower than they are, and where
    nothing can be lower the others are not looked at before those are tried."""
    found, room = [], size.columns - 2 * size.margin
    for at, lying in enumerate(_lyings(circuit, size)):
        high = placing.least(*lying, room)
        if high is None:
            continue
        if not at and high <= size.rows + _OWN:
            yield lying
        else:
            found.append((max(high, size.rows) + (_OWN if at else 0), at, lying))
    yield from (lying for _, _, lying in sorted(found, key=lambda one: one[:2]))


def _tried(circuit: CircuitPlan, lying: _Lying, size: Size, left: int, more: int) -> Board | None:
    """A board with symbols lying in some way, and so many free columns on the left."""
    placed = placing.place(*lying, size.columns - left - size.margin, size.rows + more)
    return _routed(circuit, size, placed, left) if placed else None


def _routed(circuit: CircuitPlan, size: Size, placed: dict[str, Placed], left: int) -> Board | None:
    wide = max(one.whole.right for one in placed.values())
    across, down = left + max(0, int((size.columns - left - size.margin - wide) // 2)), 2
    placed = {
        name: one.moved((one.at[0] + across, one.at[1] + down)) for name, one in placed.items()
    }
    high = max(-int(-one.whole.bottom // 1) for one in placed.values()) + 2
    # The outermost columns are for hoses: arrow heads on a line there would leave the paper.
    ground = Field(1, 0, size.columns - 1, high)
    for one in placed.values():
        ground.fill(one.body)
    ends = {
        f"{name}.{port}": spot for name, one in placed.items() for port, spot in one.ports.items()
    }
    for one in placed.values():
        for node, look in one.ports.values():
            _stub(ground, node, look, one)
    ways = _ways(circuit, ends, ground)
    if ways is None:
        return None
    ground.left, ground.right = 0, size.columns
    joints = {port: Joint(*spot, port.split(".")[0]) for port, spot in ends.items()}
    for line in circuit.lines.values():
        if line.direct:
            joints[line.to] = joints[line.from_]
    taps = tapping.taps(circuit, ends, ways, ground, size.reach)
    if taps is None:
        return None
    ground.bottom += STRIP
    masks = _masks(size, high, placed, ways, taps)
    return Board(circuit, size, size.columns, high, placed, ways, taps, joints, ground, *masks)


def _masks(
    size: Size,
    high: int,
    placed: dict[str, Placed],
    ways: dict[str, tuple[Node, ...]],
    taps: dict[str, Tap],
) -> tuple[Mask, Mask, tuple[Box, ...]]:
    """What words must keep off, what lines to words must not cross, and the circuit's extent."""

    def box(box: Box) -> Box:
        return around([at(size, box[:2]), at(size, box[2:])])

    taken = Mask(size.width_mm, (high + STRIP) * size.pitch)
    solid = taken.copy()
    extent: list[Box] = []
    for one in placed.values():
        for mask in (taken, solid):
            mask.take(box(one.body).grown(AIR))
        for bar in (around([node, one.at]) for node, _ in one.ports.values()):
            taken.take(box(bar).grown(HALF_LINE))
        extent.append(box(one.whole))
    for nodes in ways.values():
        for bar in bars([at(size, node) for node in corners(nodes)], HALF_LINE):
            taken.take(bar)
            extent.append(bar)
    for tap in taps.values():
        for mask in (taken, solid):
            mask.take(box(around([tap.at, tap.mouth])).grown(1.0))
        extent.append(box(around([tap.at, tap.mouth])))
    return taken, solid, tuple(extent)


def _stub(ground: Field, node: Node, look: Node, one: Placed) -> None:
    """A stub is part of its symbol."""
    ground.shut.add(node)
    at = node
    while True:
        at = (at[0] - look[0], at[1] - look[1])
        box = one.body
        if box.left <= at[0] <= box.right and box.top <= at[1] <= box.bottom:
            return
        ground.shut.add(at)


def _ways(
    circuit: CircuitPlan, ends: dict[str, tuple[Node, Node]], ground: Field
) -> dict[str, tuple[Node, ...]] | None:
    """Lines, the shortest first; two steps before each port are kept for its own line."""

    def length(name: str) -> int:
        line = circuit.lines[name]
        (a, _), (b, _) = ends[line.from_], ends[line.to]
        return abs(a[0] - b[0]) + abs(a[1] - b[1])

    kept = {
        port: {(node[0] + look[0] * at, node[1] + look[1] * at) for at in (1, 2)}
        for port, (node, look) in ends.items()
    }
    found: dict[str, tuple[Node, ...]] = {}
    for name in sorted(circuit.lines, key=lambda name: (length(name), name)):
        line = circuit.lines[name]
        others = set().union(*(kept[port] for port in kept if port not in (line.from_, line.to)))
        added = others - ground.shut
        ground.shut |= added
        (start, look), (end, other) = ends[line.from_], ends[line.to]
        found[name] = way(ground, start, look, end, (-other[0], -other[1]))
        ground.shut -= added
        if not found[name]:
            return None
        ground.keep(found[name])
    return found
