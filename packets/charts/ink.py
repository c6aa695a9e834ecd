"""What a chart is drawn with: lines, words and boxes in millimetres, and the finished picture."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from html import escape

Point = tuple[float, float]

POINT = 25.4 / 72
SMALL, USUAL = 8 * POINT, 9 * POINT  # letters: 8 pt on an axis, 9 pt elsewhere
HAIR, THIN, BOLD = 0.13, 0.28, 0.55  # lines; a pencil's own line is about 0.8 mm
GRID = "#999"
DASHED, DOTTED, DASH_DOT = "2 1.2", "0.3 0.9", "3 0.9 0.4 0.9"
# About how wide a letter is, as a share of its size; a test measures the typeface against it.
LETTER, DIGIT = 0.53, 0.65


@dataclass(frozen=True)
class Picture:
    """A finished drawing. The title and description say it to who cannot see it."""

    svg: str
    width_mm: float
    height_mm: float
    title: str
    description: str


def wide(words: str, size: float = USUAL, bold: bool = False) -> float:
    """About how wide the words print [mm], never less than they are."""
    each = sum(DIGIT if letter.isdigit() else LETTER for letter in words)
    return each * size * (1.12 if bold else 1.0)


@dataclass
class Ink:
    """A sheet being drawn on, `width` by `height` millimetres."""

    width: float
    height: float
    parts: list[str] = field(default_factory=list)

    def path(
        self,
        points: Sequence[Point],
        weight: float = THIN,
        dash: str = "",
        name: str = "",
        colour: str = "#000",
    ) -> None:
        """A line through the points; `name` is its class."""
        self.strokes([points], weight, dash, name, colour)

    def strokes(
        self,
        lines: Iterable[Sequence[Point]],
        weight: float = THIN,
        dash: str = "",
        name: str = "",
        colour: str = "#000",
    ) -> None:
        """Many lines of one kind, as one path."""
        drawn = "".join("M" + "L".join(f"{_mm(x)} {_mm(y)}" for x, y in points) for points in lines)
        if not drawn:
            return
        named = f' class="{name}"' if name else ""
        dashed = f' stroke-dasharray="{dash}"' if dash else ""
        self.parts.append(
            f'<path{named} d="{drawn}" fill="none" stroke="{colour}"'
            f' stroke-width="{_mm(weight)}"{dashed}/>'
        )

    def box(self, left: float, top: float, width: float, height: float, name: str = "") -> None:
        """An empty box to write in."""
        right, bottom = left + width, top + height
        corners = [(left, top), (right, top), (right, bottom), (left, bottom), (left, top)]
        self.path(corners, THIN, name=name)

    def words(
        self,
        x: float,
        y: float,
        words: str,
        size: float = USUAL,
        anchor: str = "start",
        bold: bool = False,
        name: str = "",
        clear: bool = False,
    ) -> None:
        """Words on a base line; `clear` whitens what lies behind them."""
        if clear:
            long = wide(words, size, bold)
            left = x - {"start": 0.0, "middle": long / 2, "end": long}[anchor]
            self.parts.append(
                f'<rect x="{_mm(left - 0.4)}" y="{_mm(y - 0.8 * size)}" width="{_mm(long + 0.8)}"'
                f' height="{_mm(1.02 * size)}" fill="#fff"/>'
            )
        named = f' class="{name}"' if name else ""
        weight = ' font-weight="700"' if bold else ""
        self.parts.append(
            f'<text{named} x="{_mm(x)}" y="{_mm(y)}" font-size="{_mm(size)}"'
            f' font-family="Packet"{weight} text-anchor="{anchor}">{escape(words)}</text>'
        )

    def picture(self, title: str, description: str) -> Picture:
        """The finished sheet."""
        body = "".join(self.parts)
        svg = (
            f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{_mm(self.width)}mm"'
            f' height="{_mm(self.height)}mm" viewBox="0 0 {_mm(self.width)} {_mm(self.height)}">'
            f"<title>{escape(title)}</title><desc>{escape(description)}</desc>{body}</svg>"
        )
        return Picture(svg, round(self.width, 2), round(self.height, 2), title, description)


def _mm(value: float) -> str:
    """Millimetres to a hundredth: an eightieth of a pencil's line."""
    return f"{value:.2f}".rstrip("0").rstrip(".") if value else "0"
