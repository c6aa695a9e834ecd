"""A table's rows cut into panels that stand side by side, so that it is wide instead of high."""

from __future__ import annotations

import math

from packets.model.packet import TableBlock

# A row, and whether it is among those of the day.
Row = tuple[tuple[str, ...], bool]
# Letters of a table across the page and beside the margin for notes, and its width [mm].
TABLE_LETTERS, NARROW_LETTERS, TABLE_WIDTH = 100, 68, 173.0
ROWS_A_PANEL = 4


def panels(
    block: TableBlock, beside: float = 0.0, letters_across: int = TABLE_LETTERS
) -> list[list[Row]]:
    """The rows of a table, cut into as many panels side by side as there is room for.

    `beside` is the width [mm] of the chart it stands next to, which leaves fewer letters. Each
    row carries whether it is among those of the day.
    """
    rows = [(row, index in block.today) for index, row in enumerate(block.rows)]
    letters = [max(map(len, head.split()), default=0) for head in block.heads]
    for row in block.rows:
        letters = [max(width, len(cell)) for width, cell in zip(letters, row, strict=True)]
    across = round(letters_across * (1 - beside / TABLE_WIDTH))
    room = across // (sum(letters) + 2 * len(letters))
    wanted = math.ceil(len(rows) / ROWS_A_PANEL)
    each = math.ceil(len(rows) / max(1, min(room, wanted)))
    return [rows[start : start + each] for start in range(0, len(rows), max(1, each))]
