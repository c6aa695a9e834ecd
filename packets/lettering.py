"""How wide text prints in the packet's typeface, and how many lines it breaks into.

Sizes in millimetres. Breaks fall at spaces, as on the page; a word longer than its line is cut
where the line ends. Kerning is left out: it draws letters closer, so a line is never longer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from functools import lru_cache

from packets import fonts
from packets.model.packet import Span, Text

POINT = 25.4 / 72
BODY, FINE = 11 * POINT, 9 * POINT
# A value of up to this many letters stays on one line.
KEPT = 24
# The line to write on that a blank prints, with its margins.
WRITE_LINE = 28.0
_MARKS = re.compile(r"[*_\\]")
_PIECES = re.compile(r" +|[^ ]+")
_UNKNOWN = 0.6  # share of the size; a character the typeface lacks stops the print anyway


def wide(words: str, bold: bool = False, size: float = BODY) -> float:
    """How wide words print on one line."""
    held = fonts.advances(fonts.FILES[1 if bold else 0])
    return sum(held.get(letter, _UNKNOWN) for letter in words) * size


def lines(text: Text, width: float, bold: bool = False) -> int:
    """How many lines of this width the text breaks into."""
    count, left = 0, 0.0
    for long, space in _words(text, bold):
        if count and long + space <= left:
            left -= long + space
            continue
        extra = max(0, int((long - 1e-6) // width)) if width > 0 else 0
        count += 1 + extra
        left = width * (extra + 1) - long
    return count


def longest(text: Text, bold: bool = False) -> float:
    """The widest piece that is kept on one line."""
    return max((long for long, _ in _words(text, bold)), default=0.0)


def whole(text: Text, bold: bool = False) -> float:
    """How wide the text is on a line that never ends."""
    return sum(long + (space if at else 0.0) for at, (long, space) in enumerate(_words(text, bold)))


@lru_cache(maxsize=2048)
def _words(text: Text, bold: bool) -> tuple[tuple[float, float], ...]:
    """Each piece that stays together, and the space before it. A step is measured many ways."""
    return tuple(_split(text, bold))


def _split(text: Text, bold: bool) -> Iterator[tuple[float, float]]:
    long, space = 0.0, 0.0
    for piece, width in _pieces(text, bold):
        if piece != " ":
            long += width
            continue
        if long:
            yield long, space
        long, space = 0.0, width
    if long:
        yield long, space


def _pieces(text: Text, bold: bool) -> Iterator[tuple[str, float]]:
    for span in text:
        heavy = bold or span.kind in ("value", "step")
        if span.kind == "step" or (span.kind == "value" and len(span.text) <= KEPT):
            yield "kept", wide(span.text, True)
            continue
        if span.kind == "blank":
            yield "line", WRITE_LINE
        size = FINE if span.kind == "blank" else BODY
        words = f"({span.text})" if span.kind == "blank" else _MARKS.sub("", span.text)
        for piece in _PIECES.findall(words):
            yield (" " if piece.isspace() else piece), wide(piece, heavy, size)


def said(words: str, kept: bool = False) -> Text:
    """Plain words as a text; `kept` are bold and on one line."""
    return (Span("value" if kept else "words", words),) if words else ()
