"""Marks to SVG text: stable numbers, black and white, weight and dash only."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from html import escape

from packets.drawings.geometry import Box, Point, number
from packets.drawings.letters import MM_A_POINT
from packets.drawings.shapes import Mark, Round

FAMILY = "Packet"


def path(points: Sequence[Point], closed: bool = False) -> str:
    """Path data of a bent line."""
    steps: list[str] = []
    last: Point | None = None
    for x, y in points:
        if last is None:
            steps.append(f"M{number(x)} {number(y)}")
        elif number(x) == number(last[0]):
            steps.append(f"V{number(y)}")
        elif number(y) == number(last[1]):
            steps.append(f"H{number(x)}")
        else:
            steps.append(f"L{number(x)} {number(y)}")
        last = (x, y)
    return "".join(steps) + ("Z" if closed else "")


def stroke(
    points: Sequence[Point],
    kind: str,
    weight: float,
    *,
    ink: str = "#000",
    dash: str = "",
    closed: bool = False,
    fill: str = "none",
) -> str:
    """A line of some weight [mm]; `kind` says what it stands for."""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return (
        f'<path class="{kind}" d="{path(points, closed)}" fill="{fill}" stroke="{ink}" '
        f'stroke-width="{number(weight)}"{dashes}/>'
    )


def shape(points: Sequence[Point], kind: str, fill: str = "#000") -> str:
    """A filled outline."""
    return f'<path class="{kind}" d="{path(points, closed=True)}" fill="{fill}"/>'


def circle(at: Point, radius: float, kind: str, weight: float, fill: str = "none") -> str:
    """A circle; without weight it is only filled."""
    ring = f' stroke="#000" stroke-width="{number(weight)}"' if weight else ""
    return (
        f'<circle class="{kind}" cx="{number(at[0])}" cy="{number(at[1])}" '
        f'r="{number(radius)}" fill="{fill}"{ring}/>'
    )


def mark(one: Mark, at: Sequence[Point], pitch: float, weight: float, dash: str = "") -> str:
    """One stroke or circle of a symbol; `at` holds its points on the sheet."""
    wide = weight * one.weight
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    fill = one.fill if not dash or one.fill == "none" else "none"
    ink = f'fill="{fill}" stroke="#000" stroke-width="{number(wide)}"{dashes}'
    if isinstance(one, Round):
        (x, y), radius = at[0], one.radius * pitch
        return f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" {ink}/>'
    return f'<path d="{path(at, one.closed)}" {ink}/>'


def text(words: str, at: Point, points: float, bold: bool, ink: str = "#000") -> str:
    """One line of words from a point on its base line."""
    weight = ' font-weight="700"' if bold else ""
    return (
        f'<text x="{number(at[0])}" y="{number(at[1])}" '
        f'font-size="{number(points * MM_A_POINT)}"{weight} fill="{ink}">{escape(words)}</text>'
    )


def group(kind: str, pieces: Iterable[str]) -> str:
    """Pieces that are one thing."""
    return f'<g class="{kind}">{"".join(pieces)}</g>'


def document(pieces: Iterable[str], frame: Box, title: str, description: str) -> str:
    """The whole drawing, with its title and description for those who hear it read."""
    wide, high = frame.right - frame.left, frame.bottom - frame.top
    view = " ".join(number(side) for side in (frame.left, frame.top, wide, high))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" role="img" width="{number(wide)}mm" '
        f'height="{number(high)}mm" viewBox="{view}" font-family="{FAMILY}" '
        f'stroke-linejoin="round"><title>{escape(title)}</title>'
        f"<desc>{escape(description)}</desc>{''.join(pieces)}</svg>"
    )
