"""What is handed out: a finished drawing, and the two sizes there are."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Drawing:
    """An SVG at the size it is printed at, its title, and in words what it shows."""

    svg: str
    width_mm: float
    height_mm: float
    title: str
    description: str


@dataclass(frozen=True)
class Size:
    """A width on paper and what goes with it; layouts differ by size, nothing is scaled.

    `pitch` is the step of the lattice that symbols and lines lie on, `rows` how many of them the
    circuit fills if it needs no more, `margin` how many stay free left and right; `letters` is the
    size of type in points; `every_name`: every part is named, not only those in use.
    """

    width_mm: float
    pitch: float
    rows: int
    margin: int
    letters: float
    every_name: bool

    @property
    def columns(self) -> int:
        """Lattice columns across the width."""
        return int((self.width_mm - 1.0) / self.pitch)


FULL = Size(width_mm=186.0, pitch=3.0, rows=20, margin=2, letters=9.0, every_name=True)
HALF = Size(width_mm=90.0, pitch=2.0, rows=12, margin=1, letters=8.0, every_name=False)
