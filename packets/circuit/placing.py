"""Where an added part stands on the drawing grid: on the way of its line, clear of the others."""

from __future__ import annotations

from packets.model.circuits import CircuitPlan


def place(circuit: CircuitPlan, line: str) -> tuple[float, float]:
    """A grid point along a line, as far from every part as there is; ties to the line's end.

    The line runs from part to part by one of two corners; both ways are looked at. Between two
    parts too near each other for a grid point, a quarter of the way will do.
    """
    (x1, y1), (x2, y2) = (
        _at(circuit, end) for end in (circuit.lines[line].from_, circuit.lines[line].to)
    )
    ways = {
        *((x, y) for x in _between(x1, x2) for y in (y1, y2)),
        *((x, y) for y in _between(y1, y2) for x in (x1, x2)),
    }
    between = {(x1 + (x2 - x1) * part, y1 + (y2 - y1) * part) for part in (0.25, 0.5, 0.75)}
    taken = [_at(circuit, f"{name}.") for name in circuit.parts]

    def clear(point: tuple[float, float]) -> tuple[float, float, tuple[float, float]]:
        near = min(abs(point[0] - x) + abs(point[1] - y) for x, y in taken)
        return near, -(abs(point[0] - x2) + abs(point[1] - y2)), point

    return max(ways if any(clear(way)[0] for way in ways) else between, key=clear)


def _between(one: float, other: float) -> list[float]:
    low, high = sorted((round(one), round(other)))
    return [float(at) for at in range(low, high + 1)]


def _at(circuit: CircuitPlan, port: str) -> tuple[float, float]:
    x, y = circuit.parts[port.partition(".")[0]].at or (0.0, 0.0)
    return x, y
