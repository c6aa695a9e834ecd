"""A drawing in the making: what is drawn so far, and what of the paper that takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from packets.drawings import svg
from packets.drawings.board import Board
from packets.drawings.geometry import Box, Node, Point, around, bars, straightened
from packets.drawings.masks import Mask
from packets.drawings.routing import Field
from packets.drawings.shapes import WHITE

# Weights of lines on paper [mm].
THIN, SYMBOL, STRONG, HEAVY, BESIDE = 0.3, 0.4, 0.85, 1.25, 0.75
HOSE, BORE = 1.15, 0.55
# Drawn one over the other in this order.
LAYERS = ("hose", "line", "route", "hop", "symbol", "mark", "label")
_RANK = {"route": 2, "hose": 1}
_WEIGHT = {"route": HEAVY, "hose": HOSE}


@dataclass
class Sheet:
    """The layers, and what they take: `taken` keeps words off, `solid` lines to words too, and
    `written` holds the words themselves.

    `ground` is where hoses may run; `runs` are all lines and hoses, whose crossings get a gap;
    `extent` holds what is drawn beyond the circuit.
    """

    board: Board
    taken: Mask
    solid: Mask
    written: Mask
    ground: Field
    layers: dict[str, list[str]] = field(default_factory=lambda: {one: [] for one in LAYERS})
    runs: list[tuple[str, tuple[Node, ...]]] = field(default_factory=list)
    extent: list[Box] = field(default_factory=list)

    @classmethod
    def of(cls, board: Board) -> Sheet:
        """An empty sheet for a board; symbols and lines of the circuit are taken already."""
        written = Mask(board.taken.width, board.taken.height)
        return cls(board, board.taken.copy(), board.solid.copy(), written, board.ground.copy())

    def copy(self) -> Sheet:
        """The same sheet to go on with."""
        return replace(
            self,
            taken=self.taken.copy(),
            solid=self.solid.copy(),
            written=self.written.copy(),
            ground=self.ground.copy(),
            layers={layer: list(pieces) for layer, pieces in self.layers.items()},
            runs=list(self.runs),
            extent=list(self.extent),
        )

    # ---- places

    @property
    def pitch(self) -> float:
        """Millimetres a lattice step."""
        return self.board.size.pitch

    def at(self, node: Point) -> Point:
        """A lattice place on the sheet [mm]."""
        return self.board.at(node)

    def box(self, box: Box) -> Box:
        """A box of the lattice on the sheet [mm]."""
        return self.board.box(box)

    def lattice(self, box: Box) -> Box:
        """A box of the sheet in lattice steps."""
        left, top = self.board.at((0, 0))
        return box.moved(-left, -top).times(1 / self.pitch)

    @property
    def reach(self) -> tuple[float, float]:
        """The top and the foot of what is drawn so far [mm]."""
        top, foot = self.board.reach
        return (
            min([top, *(box.top for box in self.extent)]),
            max([foot, *(box.bottom for box in self.extent)]),
        )

    def take(self, box: Box, solid: bool = True) -> None:
        """Keep words off a box."""
        self.taken.take(box)
        if solid:
            self.solid.take(box)
        self.extent.append(box)

    # ---- drawing

    def weight(self, heavy: float) -> float:
        """A heavy line's weight at this size [mm]."""
        return heavy * self.board.size.heavy

    def put(self, layer: str, *pieces: str) -> None:
        """Draw on a layer."""
        self.layers[layer] += pieces

    def stroke(self, layer: str, kind: str, nodes: Sequence[Point], weight: float) -> None:
        """A bent line through lattice places."""
        points = [self.at(node) for node in straightened(nodes)]
        if len(points) < 2:
            return
        self.put(layer, svg.stroke(points, kind, weight))
        if weight > THIN:
            for bar in bars(points, weight / 2 + 0.3):
                self.taken.take(bar)

    def arrow(self, at: Point, look: Node, size: float, layer: str = "mark") -> None:
        """A filled head that points the way; `size` is half its length in lattice steps."""
        x, y = look
        tip = (at[0] + x * size, at[1] + y * size)
        left = (at[0] - x * size - y * size * 0.85, at[1] - y * size + x * size * 0.85)
        right = (at[0] - x * size + y * size * 0.85, at[1] - y * size - x * size * 0.85)
        points = [self.at(point) for point in (tip, left, right)]
        self.put(layer, svg.shape(points, "arrow"))
        self.take(around(points))

    # ---- crossings

    def hops(self) -> None:
        """Where two runs cross, the lesser one has a gap; of equal ones the one that lies."""
        straight: dict[Node, list[tuple[str, bool]]] = {}
        for kind, nodes in self.runs:
            for before, at, after in zip(nodes, nodes[1:], nodes[2:], strict=False):
                if before[0] == after[0] or before[1] == after[1]:
                    straight.setdefault(at, []).append((kind, before[0] == after[0]))
        pieces: list[str] = []
        for node, kinds in straight.items():
            if len({upright for _, upright in kinds}) == 2:
                pieces += self._hop(node, kinds)
        self.layers["hop"][:0] = pieces

    def _hop(self, node: Node, kinds: list[tuple[str, bool]]) -> list[str]:
        kind, upright = max(kinds, key=lambda one: (_RANK.get(one[0], 0), one[1]))
        weight = self.weight(_WEIGHT[kind]) if kind in _WEIGHT else THIN
        x, y = node
        a, b = (0.0, 0.5) if upright else (0.5, 0.0)
        points = [self.at((x - a, y - b)), self.at((x + a, y + b))]
        over = [
            svg.stroke(points, "gap", weight + 1.6, ink=WHITE),
            svg.stroke(points, "over", weight),
        ]
        return [*over, svg.stroke(points, "over", BORE, ink=WHITE)] if kind == "hose" else over
