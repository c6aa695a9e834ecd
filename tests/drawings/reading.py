"""Reading a drawing back from its SVG text: words, symbols, lines and marks as boxes [mm].

Widths and heights of letters come from the font file itself, not from the drawings' own table.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any
from xml.etree import ElementTree

from fontTools.pens.boundsPen import BoundsPen
from fontTools.ttLib import TTFont

from packets import fonts

SVG = "{http://www.w3.org/2000/svg}"
Point = tuple[float, float]
Box = tuple[float, float, float, float]


@cache
def font(bold: bool) -> TTFont:
    """The font that a weight is printed in."""
    name = "Bold" if bold else "Regular"
    return TTFont(io.BytesIO(fonts.data(f"JobPacketSans-{name}.ttf")))


@cache
def ink(letter: str, bold: bool) -> tuple[float, float, float]:
    """Advance, lowest and highest point of a letter, in ems."""
    face = font(bold)
    glyphs = face.getGlyphSet()
    name = face.getBestCmap()[ord(letter)]
    pen = BoundsPen(glyphs)
    glyphs[name].draw(pen)
    low, high = (pen.bounds[1], pen.bounds[3]) if pen.bounds else (0, 0)
    em = face["head"].unitsPerEm
    return face["hmtx"][name][0] / em, low / em, high / em


@dataclass(frozen=True)
class Word:
    """A line of words with the box of its ink."""

    words: str
    box: Box
    points: float
    bold: bool
    badge: bool


@dataclass(frozen=True)
class Line:
    """A bent line: what it stands for, its points, its weight, its colour."""

    kind: str
    points: tuple[Point, ...]
    weight: float
    ink: str

    def bars(self) -> Iterator[Box]:
        """What each of its stretches covers."""
        half = self.weight / 2
        for (a, b), (c, d) in pairwise(self.points):
            yield min(a, c) - half, min(b, d) - half, max(a, c) + half, max(b, d) + half


class Read:
    """One drawing read back."""

    def __init__(self, text: str) -> None:
        self.root = ElementTree.fromstring(text)
        self.frame = tuple(float(one) for one in self.root.attrib["viewBox"].split())
        self.size = tuple(
            float(self.root.attrib[side].removesuffix("mm")) for side in ("width", "height")
        )

    def _all(self, tag: str, kind: str = "") -> Iterator[Any]:
        for one in self.root.iter(f"{SVG}{tag}"):
            if not kind or one.get("class") == kind:
                yield one

    @property
    def words(self) -> list[Word]:
        """Every line of words."""
        return [self._word(one) for one in self._all("text")]

    @property
    def labels(self) -> list[list[Word]]:
        """The lines of each label; a number in a disc is none."""
        return [words for words, _ in self.led_labels if not words[0].badge]

    @property
    def led_labels(self) -> list[tuple[list[Word], bool]]:
        """The lines of each label, and whether a dotted line leads from it to what it names."""
        return [
            (
                [self._word(one) for one in group if one.tag == f"{SVG}text"],
                any(one.get("class") == "leader" for one in group),
            )
            for group in self._all("g", "label")
        ]

    def _word(self, one: Any) -> Word:
        bold, size = one.get("font-weight") == "700", float(one.attrib["font-size"])
        x, y = float(one.attrib["x"]), float(one.attrib["y"])
        letters = [ink(letter, bold) for letter in one.text]
        wide = sum(advance for advance, _, _ in letters) * size
        low, high = min(low for _, low, _ in letters), max(high for _, _, high in letters)
        box = (x, y - high * size, x + wide, y - low * size)
        return Word(one.text, box, size * 72 / 25.4, bold, one.attrib["fill"] == "#fff")

    def lines(self, *kinds: str) -> list[Line]:
        """Bent lines of some kinds."""
        return [
            Line(
                kind,
                points(one.attrib["d"]),
                float(one.attrib["stroke-width"]),
                one.attrib["stroke"],
            )
            for kind in kinds
            for one in self._all("path", kind)
        ]

    def groups(self, kind: str, dashed: bool | None = None) -> list[Box]:
        """What each symbol, gear or tap covers, stubs apart; all, or only dashed ones or others."""
        found = []
        for group in self._all("g", kind):
            if dashed is not None and dashed != any("stroke-dasharray" in m.attrib for m in group):
                continue
            spots: list[Point] = []
            for one in group:
                if one.get("class") in ("stub", "stem"):
                    continue
                if one.tag == f"{SVG}circle":
                    x, y, r = (float(one.attrib[key]) for key in ("cx", "cy", "r"))
                    spots += [(x - r, y - r), (x + r, y + r)]
                else:
                    spots += points(one.attrib["d"])
            xs, ys = zip(*spots, strict=True)
            found.append((min(xs), min(ys), max(xs), max(ys)))
        return found

    def shapes(self, kind: str) -> list[Box]:
        """What filled marks of a kind cover: arrow heads, caps."""
        found = []
        for one in self._all("path", kind):
            xs, ys = zip(*points(one.attrib["d"]), strict=True)
            found.append((min(xs), min(ys), max(xs), max(ys)))
        return found

    def fills(self, kind: str) -> list[str]:
        """The fills of marks of a kind."""
        return [one.attrib["fill"] for one in self._all("path", kind)]

    def circles(self, kind: str) -> list[Box]:
        """Rings or discs."""
        found = []
        for one in self._all("circle", kind):
            x, y, r = (float(one.attrib[key]) for key in ("cx", "cy", "r"))
            found.append((x - r, y - r, x + r, y + r))
        return found

    def inks(self) -> set[str]:
        """Every colour there is."""
        keys = ("fill", "stroke")
        return {one.attrib[key] for one in self.root.iter() for key in keys if key in one.attrib}


def points(data: str) -> tuple[Point, ...]:
    """The points of path data in M, L, H, V and Z."""
    found: list[Point] = []
    for letter, rest in re.findall(r"([MLHVZ])([^MLHVZ]*)", data):
        values = [float(one) for one in rest.split()]
        x, y = found[-1] if found else (0.0, 0.0)
        if letter == "Z":
            found.append(found[0])
        else:
            found.append(
                {"H": (values[0], y), "V": (x, values[0])}.get(letter) or (values[0], values[1])
            )
    return tuple(found)


def overlap(one: Box, other: Box, by: float = 0.0) -> bool:
    """Whether two boxes share more than a little both ways."""
    return (
        min(one[2], other[2]) - max(one[0], other[0]) > by
        and min(one[3], other[3]) - max(one[1], other[1]) > by
    )


def gap(one: Box, other: Box) -> float:
    """How far apart two boxes are, corner to corner where they lie aslant."""
    across = max(one[0] - other[2], other[0] - one[2], 0.0)
    down = max(one[1] - other[3], other[1] - one[3], 0.0)
    return (across * across + down * down) ** 0.5
