"""What is handed out: a finished drawing, and the sizes there are."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Drawing:
    """An SVG at the size it is printed at, its title, and in words what it shows.

    `caption` stands over it on paper where the title is too long for it.
    """

    svg: str
    width_mm: float
    height_mm: float
    title: str
    description: str
    caption: str = ""


@dataclass(frozen=True)
class Size:
    """A width on paper and what goes with it; layouts differ by size, nothing is scaled.

    `pitch` is the step of the lattice that symbols and lines lie on, `rows` how many of them the
    circuit fills if it needs no more, `margin` how many stay free left and right; `letters` is the
    size of type in points; `every_name`: every part is named, not only those in use; `spare`: no
    part or port is named and no gear stands about, as the step beside it names them.

    `symbols`: how much bigger than by the pitch symbols are drawn; `heavy`: how much of their
    weight heavy lines keep; `flat`: the lowest layout wins; `sides`: about how many parts stand
    one above the other where they are laid round a rectangle; `reach`: free steps that a service
    port needs beside it.
    """

    width_mm: float
    pitch: float
    rows: int
    margin: int
    letters: float
    every_name: bool
    spare: bool = False
    symbols: float = 1.0
    sides: int = 3
    flat: bool = False
    reach: int = 2
    heavy: float = 1.0

    @property
    def columns(self) -> int:
        """Lattice columns across the width."""
        return int((self.width_mm - 1.0) / self.pitch)


FULL = Size(width_mm=186.0, pitch=3.0, rows=20, margin=2, letters=9.0, every_name=True)
HALF = Size(
    width_mm=90.0, pitch=1.8, rows=19, margin=1, letters=8.0, every_name=False,
    symbols=1.1, sides=1, flat=True,
)  # fmt: skip
THIRD = Size(
    width_mm=60.0, pitch=1.5, rows=12, margin=1, letters=8.0, every_name=False, spare=True,
    symbols=1.17, sides=0, flat=True, reach=4,
    heavy=0.8,
)  # fmt: skip
