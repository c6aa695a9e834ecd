"""What a label is: words for a place, the ways to break them into lines, and where it stands."""

from __future__ import annotations

from dataclasses import dataclass

from packets.drawings import letters
from packets.drawings.geometry import Box, Point
from packets.drawings.letters import DROP, LEADING, MM_A_POINT, RISE, SHORT

NARROW = 9  # letters that stay on one line even where a label has to be narrow

Words = tuple[tuple[str, bool], ...]  # runs of words, each with whether it is bold


@dataclass(frozen=True)
class Label:
    """Words for a place. Of a higher rank it is placed earlier; without `needed` it may fall
    away. `sides` are those it may stand on, the liked one first: e, w, n, s; above or below it
    leans to the east or west as `lean` says, beside it to the north or south. `short` words
    stand for the others where those find no room near, `brief` ones, which say less, where
    neither finds room near or not far off. It stands nearer to its place than to
    any of its `rivals`, which it could be taken to name."""

    words: Words
    place: Box
    needed: bool = True
    rank: int = 0
    badge: bool = False
    sides: str = "esnw"
    lean: str = ""
    short: Words = ()
    brief: Words = ()
    rivals: tuple[Box, ...] = ()


@dataclass(frozen=True)
class Setting:
    """Words broken into lines, with the size they take [mm]; `narrow` ones into more lines than
    anyone would like, to stand in a gap. `said` are the words unbroken."""

    lines: Words
    points: float
    wide: float
    high: float
    narrow: bool = False
    said: Words = ()


@dataclass(frozen=True)
class Placement:
    """A label that has its place."""

    label: Label
    setting: Setting
    box: Box
    leader: tuple[Point, Point] | None


def settings(
    words: Words, points: float, badge: bool = False, narrow: bool = False
) -> list[Setting]:
    """The ways to break words into lines, `narrow` ones too if those may be; a badge is a disc
    round its one number."""
    size = points * MM_A_POINT
    if badge:
        across = max(letters.width(words[0][0], points, True) + 1.6, size * 1.45)
        return [Setting(words, points, across, across)]
    found: list[Setting] = []
    for most, short in ((1, SHORT), (2, SHORT), (3, SHORT), *([(2, NARROW)] if narrow else [])):
        lines: list[tuple[str, bool]] = []
        for run, bold in words:
            blocks = letters.breaks(run, points, bold, short=short)
            lines += [(line, bold) for line in blocks[min(most, len(blocks)) - 1].lines]
        wide = max(letters.width(line, points, bold) for line, bold in lines)
        high = size * (LEADING * (len(lines) - 1) + RISE + DROP)
        if all(one.lines != tuple(lines) for one in found):
            found.append(Setting(tuple(lines), points, wide, high, short == NARROW, words))
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
