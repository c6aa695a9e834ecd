"""The packet's typeface: the files, and which characters they can print.

`assemble.py` made the files; OFL.txt is their licence. Reading this package opens no font, so
`check` can ask about characters without the cost of a font library.
"""

from __future__ import annotations

import io
from functools import cache
from pathlib import Path

_HERE = Path(__file__).resolve().parent
FILES = (
    "JobPacketSans-Regular.ttf",
    "JobPacketSans-Bold.ttf",
    "JobPacketSansField-Regular.ttf",
)
# How a style sheet names one of them: no file and no address, so nothing is ever fetched.
SCHEME = "packet-font:"
LAYOUT = "\n\t"


def data(name: str) -> bytes:
    """The bytes of one font file."""
    if name not in FILES:
        raise ValueError(f"{name} is no font of the packet; there are {', '.join(FILES)}")
    return (_HERE / name).read_bytes()


@cache
def characters() -> frozenset[str]:
    """Every character that both weights hold."""
    held: set[str] = set()
    for line in (_HERE / "characters.txt").read_text(encoding="ascii").split():
        first, last = line.split("-")
        held.update(map(chr, range(int(first, 16), int(last, 16) + 1)))
    return frozenset(held)


@cache
def advances(name: str) -> dict[str, float]:
    """How far each character of a font moves the pen, as a share of the type size."""
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(data(name)), lazy=True)
    widths, em = font["hmtx"], font["head"].unitsPerEm
    return {chr(code): widths[glyph][0] / em for code, glyph in font.getBestCmap().items()}


def unprintable(text: str) -> tuple[str, ...]:
    """Characters of the text that the typeface lacks, in code point order."""
    return tuple(sorted(set(text) - characters() - set(LAYOUT)))
