"""A table entered with two readings, as it is printed: one reading down, the other across."""

from __future__ import annotations

from packets.composing.texts import marked
from packets.formatting import System, gauge_unit, show, unit_of
from packets.model.limits import plain
from packets.model.numbers import Cell, NumberGrid
from packets.model.packet import TableBlock

NONE = "\N{EN DASH}"


def block(grid: NumberGrid, units: System) -> TableBlock:
    """Heads carry the values across, the first cell of each row the value down; the title says
    which is which."""
    across = [
        plain(show(value, grid.across_quantity, units, "nearest", 0.0).value)
        for value in grid.across
    ]
    down, over = (unit_of(kind, units) for kind in (grid.by_quantity, grid.across_quantity))
    title = f"{grid.title}: {grid.across_label} {over} across, {grid.by_label} {down} down"
    rows = tuple(
        (_by(grid, at, units), *(_cell(cell, grid, units) for cell in cells))
        for at, cells in zip(grid.by, grid.cells, strict=True)
    )
    # The head over the left column is its unit; those over the others are readings.
    heads = (down, *across)
    return TableBlock(grid.id, title, heads, rows, grid.note, mark=marked(grid))


def _by(grid: NumberGrid, value: float, units: System) -> str:
    unit = gauge_unit(grid.by_quantity, units)
    return plain(show(value, grid.by_quantity, units, "nearest", grid.by_step, unit).value)


def _cell(cell: Cell, grid: NumberGrid, units: System) -> str:
    """A single value, or the band between the low end rounded up and the high end down."""
    if cell is None:
        return NONE
    low, high = cell
    if low == high:
        return plain(show(low, grid.quantity, units, "nearest", grid.step).value)
    ends = (
        show(low, grid.quantity, units, "up", grid.step),
        show(high, grid.quantity, units, "down", grid.step),
    )
    return f"{plain(ends[0].value)} to {plain(ends[1].value)}"
