"""Reading a chart back: its numbers from its printed labels, its lines from its paths.

Nothing of the chart's own arithmetic is used: an axis is the straight line through the numbers
printed along it, each set against the grid line or tick nearest to it.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from xml.etree import ElementTree

from fontTools.ttLib import TTFont

from packets import fonts

SVG = "{http://www.w3.org/2000/svg}"
POINT = 25.4 / 72
# A quarter of a pencil's line of about 0.8 mm.
QUARTER_LINE = 0.2
Points = list[tuple[float, float]]


@dataclass(frozen=True)
class Words:
    """Words on the sheet: class, base line, size and true extent [mm]."""

    name: str
    text: str
    x: float
    y: float
    size: float
    left: float
    right: float


def value(text: str) -> float:
    """A printed number."""
    return float(text.replace("\N{MINUS SIGN}", "-"))


class Chart:
    """One SVG read back."""

    def __init__(self, svg: str) -> None:
        self.root = ElementTree.fromstring(svg)
        self.width, self.height = map(float, self.root.attrib["viewBox"].split()[2:])
        self.words = [_words(one) for one in self.root.iter(f"{SVG}text")]

    def lines(self, name: str) -> list[Points]:
        """The strokes of every path of that class."""
        return [
            [(float(x), float(y)) for x, y in re.findall(r"([-\d.]+) ([-\d.]+)", stroke)]
            for path in self.root.iter(f"{SVG}path")
            if path.get("class") == name
            for stroke in path.attrib["d"].split("M")[1:]
        ]

    def line(self, name: str) -> Points:
        """The one stroke of that class."""
        (only,) = self.lines(name)
        return only

    def labels(self, name: str) -> list[Words]:
        """The words of that class."""
        return [one for one in self.words if one.name == name]

    def scale(self, name: str, upright: bool = False) -> tuple[float, float]:
        """Zero [mm] and millimetres a unit of a straight axis; every number on it must agree."""
        if upright:
            grid = sorted({y for (_, y), (_, end) in self.lines("grid") if y == end})
            marks = [
                (
                    value(one.text),
                    min(grid, key=lambda y, one=one: abs(y - one.y + 0.36 * one.size)),
                )
                for one in self.labels(name)
            ]
        else:
            marks = [(value(one.text), one.x) for one in self.labels(name)]
        (v0, at0), (v1, at1) = min(marks), max(marks)
        a_unit = (at1 - at0) / (v1 - v0)
        for number, at in marks:
            assert abs(at0 + (number - v0) * a_unit - at) < 0.02, (name, number)
        return at0 - v0 * a_unit, a_unit

    def values(self, name: str) -> Points:
        """The points of a line as numbers on the two axes."""
        (x0, across), (y0, up) = self.scale("across"), self.scale("up", upright=True)
        return [((x - x0) / across, (y - y0) / up) for x, y in self.line(name)]


def true_width(text: str, bold: bool = False) -> float:
    """How wide words print, as a share of the type size, from the font itself."""
    font = TTFont(fonts.__path__[0] + "/" + fonts.FILES[1 if bold else 0])
    names, widths = font.getBestCmap(), font["hmtx"]
    return float(sum(widths[names[ord(letter)]][0] for letter in text) / font["head"].unitsPerEm)


def _words(one: ElementTree.Element) -> Words:
    x, y, size = (float(one.attrib[key]) for key in ("x", "y", "font-size"))
    text = one.text or ""
    wide = true_width(text, one.get("font-weight") == "700") * size
    left = x - {"start": 0.0, "middle": wide / 2, "end": wide}[one.attrib["text-anchor"]]
    return Words(one.get("class", ""), text, x, y, size, left, left + wide)
