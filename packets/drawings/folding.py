"""Circuits whose own places do not fit: the parts round a rectangle, in the order of flow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from packets.drawings import symbols
from packets.drawings.geometry import Point
from packets.drawings.placing import CORNER, LINE
from packets.drawings.turning import tapped
from packets.model.circuits import CircuitPlan


def folded(circuit: CircuitPlan, columns: int, sides: int = 3) -> Iterator[CircuitPlan]:
    """The circuit with its parts round a rectangle: the compressor on the left, the others over
    the top, down the right side and back along the foot, as many a row as fit the columns; first
    where about so many stand at the side."""
    first, *rest = _walk(circuit)
    wide = [_width(circuit, name) for name in rest]
    options = []
    for top in range(1, len(rest) + 1):
        for foot in range(len(rest) - top + 1):
            side = len(rest) - top - foot
            rows = (sum(wide[:top]), sum(wide[top + side :]))
            if max(rows) + 2 * CORNER + 2 <= columns:
                options.append((abs(side - sides), abs(rows[0] - rows[1]), top, side))
    for _, _, top, side in sorted(options):
        yield _round(circuit, first, rest, top, side)


def _width(circuit: CircuitPlan, name: str) -> int:
    """What a part takes in a row, with one line."""
    part = circuit.parts[name]
    long = sum(on.partition(".")[0] == name for on in tapped(circuit))
    return 2 * symbols.shape(part).reach + 2 * long + LINE


def _walk(circuit: CircuitPlan) -> list[str]:
    """Parts as the refrigerant meets them, from the compressor on."""
    first = next(name for name, part in circuit.parts.items() if part.kind == "compressor")
    after: dict[str, list[str]] = {name: [] for name in circuit.parts}
    for line in circuit.lines.values():
        after[line.from_.split(".")[0]].append(line.to.split(".")[0])
        after[line.to.split(".")[0]].append(line.from_.split(".")[0])
    seen: list[str] = []
    todo = [first]
    while todo:
        at = todo.pop()
        if at not in seen:
            seen.append(at)
            todo += reversed(after[at])
    return seen


def _round(
    circuit: CircuitPlan, first: str, rest: Sequence[str], top: int, side: int
) -> CircuitPlan:
    wide, foot = float(3 * (top + 1)), len(rest) - top - side
    high = float(max(4, 3 * (side + 1)))
    places: list[Point] = [(3.0 * (at + 1), high) for at in range(top)]
    places += [(wide, high - 3.0 * (at + 1)) for at in range(side)]
    places += [(wide - wide * (at + 1) / (foot + 1), 0.0) for at in range(foot)]
    spots = {first: (0.0, high / 2), **dict(zip(rest, places, strict=True))}
    parts = {name: replace(part, at=spots[name]) for name, part in circuit.parts.items()}
    return replace(circuit, parts=parts)
