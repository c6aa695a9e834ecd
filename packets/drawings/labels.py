"""What a label is: words for a place, the ways to break them into lines, and where it stands."""

from __future__ import annotations

from dataclasses import dataclass

from packets.drawings import letters
from packets.drawings.geometry import Box, Point
from packets.drawings.letters import DROP, LEADING, MM_A_POINT, RISE

Words = tuple[tuple[str, bool], ...]  # runs of words, each with whether it is bold


@dataclass(frozen=True)
class Label:
    """Words for a place. Of a higher rank it is placed earlier; without `needed` it may fall
    away. `sides` are those it may stand on, the liked one first: e, w, n, s; above or below it
    leans to the east or west as `lean` says, beside it to the north or south. `brief` words
    stand for the others where those find no room near."""

    words: Words
    place: Box
    needed: bool = True
    rank: int = 0
    badge: bool = False
    sides: str = "esnw"
    lean: str = ""
    brief: Words = ()


@dataclass(frozen=True)
class Setting:
    """Words broken into lines, with the size they take [mm]."""

    lines: Words
    points: float
    wide: float
    high: float


@dataclass(frozen=True)
class Placement:
    """A label that has its place."""

    label: Label
    setting: Setting
    box: Box
    leader: tuple[Point, Point] | None


def settings(words: Words, points: float, badge: bool = False) -> list[Setting]:
    """The ways to break words into lines; a badge is a disc round its one number."""
    size = points * MM_A_POINT
    if badge:
        across = max(letters.width(words[0][0], points, True) + 1.6, size * 1.45)
        return [Setting(words, points, across, across)]
    found = []
    for most in (1, 2, 3):
        lines: list[tuple[str, bool]] = []
        for run, bold in words:
            blocks = letters.breaks(run, points, bold)
            lines += [(line, bold) for line in blocks[min(most, len(blocks)) - 1].lines]
        wide = max(letters.width(line, points, bold) for line, bold in lines)
        high = size * (LEADING * (len(lines) - 1) + RISE + DROP)
        one = Setting(tuple(lines), points, wide, high)
        if one not in found:
            found.append(one)
    return found


def line(box: Box, place: Box) -> tuple[Point, Point]:
    """From the edge of the words to the edge of what they name."""

    def between(low: float, high: float, other: float) -> float:
        return min(max(other, low), high)

    middle = place.centre
    start = between(box.left, box.right, middle[0]), between(box.top, box.bottom, middle[1])
    end = between(place.left, place.right, start[0]), between(place.top, place.bottom, start[1])
    return start, end


def along(leader: tuple[Point, Point] | None) -> list[Box]:
    """Small boxes along a line to a label."""
    if leader is None:
        return []
    (x, y), (to_x, to_y) = leader
    count = max(1, int(max(abs(to_x - x), abs(to_y - y))))
    spots = [(x + (to_x - x) * at / count, y + (to_y - y) * at / count) for at in range(count)]
    return [Box(a, b, a, b).grown(0.4) for a, b in spots]
