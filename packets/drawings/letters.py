"""How wide words are in the packet's typeface, and where they may break.

The printer sets SVG text letter by letter, so a text is exactly as wide as its letters.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from packets.drawings.letter_widths import BOLD, REGULAR

MM_A_POINT = 25.4 / 72
LEADING = 1.14
# Of the type size: how far letters reach above and below the line they stand on.
RISE, DROP = 0.76, 0.24
_WIDEST = 1000
SHORT, LONG = 21, 28  # letters that stay on one line, and on two


def _widths(table: dict[int, str]) -> dict[str, int]:
    return {letter: width for width, letters in table.items() for letter in letters}


_TABLES = {False: _widths(REGULAR), True: _widths(BOLD)}


@cache
def width(text: str, points: float, bold: bool = False) -> float:
    """Width of a text [mm]. A character that the typeface lacks counts as a full em.

    >>> round(width("Nitrogen", 9.0), 1)
    11.1
    """
    table = _TABLES[bold]
    return sum(table.get(letter, _WIDEST) for letter in text) / 1000 * points * MM_A_POINT


@dataclass(frozen=True)
class Block:
    """Words in lines, with the size of what they cover [mm]."""

    lines: tuple[str, ...]
    points: float
    bold: bool

    @property
    def wide(self) -> float:
        """Width of the longest line."""
        return max(width(line, self.points, self.bold) for line in self.lines)

    @property
    def high(self) -> float:
        """From the top of the first line's letters to the foot of the last line's."""
        size = self.points * MM_A_POINT
        return size * (LEADING * (len(self.lines) - 1) + RISE + DROP)


@cache
def breaks(
    text: str, points: float, bold: bool = False, most: int = 3, short: int = SHORT
) -> tuple[Block, ...]:
    """The text in one line, two lines, and so on, each broken where it is least wide; a `short`
    one is not broken."""
    words = text.split() if len(text) > short else [text]
    most = most if len(text) > LONG else min(2, most)
    found: list[Block] = []
    for count in range(1, min(most, len(words)) + 1):
        lines = min(
            _splits(words, count),
            key=lambda split: max(width(line, points, bold) for line in split),
        )
        found.append(Block(lines, points, bold))
    return tuple(found)


def _splits(words: list[str], count: int) -> list[tuple[str, ...]]:
    """Every way to lay words into so many lines."""
    if count == 1:
        return [(" ".join(words),)]
    return [
        (" ".join(words[:at]), *rest)
        for at in range(1, len(words) - count + 2)
        for rest in _splits(words[at:], count - 1)
    ]
