"""Assemble the packet's typeface from Plex Sans Condensed. Run by hand, not by `packets`.

Source: the folder `fonts/complete/woff2` of the npm package `@ibm/plex-sans-condensed` 2.0.0, whose
licence (OFL.txt beside this file) reserves the font name "Plex". The results are Modified
Versions in the sense of that licence, so they carry a name of their own and stay under it:

* what packets are written in kept, hinting dropped (print does not use it);
* the source's own slashed zero in place of its plain one, which looks like an O;
* signs the source lacks drawn here: box, alert triangle and others;
* a small cut for form fields, because a PDF form embeds the whole of its font.

Use: ``python -m packets.fonts.assemble SOURCE_FOLDER [TARGET_FOLDER]``
"""

from __future__ import annotations

import math
import sys
from pathlib import Path

from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.subset import Options, Subsetter
from fontTools.ttLib import TTFont
from fontTools.ttLib.tables._c_m_a_p import CmapSubtable

FAMILY = "Job Packet Sans"
FIELD_FAMILY = "Job Packet Sans Field"
STYLES = ("Regular", "Bold")
SLASHED_ZERO = "zero.alt02"
# Latin with its accents, Greek, punctuation, money, letterlike signs, arrows and mathematics.
KEPT = {*range(0x20, 0x7F), *range(0xA0, 0x250), *range(0x2B0, 0x400), *range(0x1E00, 0x1F00)}
KEPT |= {*range(0x2000, 0x2300), *range(0x2500, 0x2800)}
FEATURES = ["kern", "mark", "mkmk", "ccmp", "locl"]
# What a form field can show: ASCII, and of the rest what readings and names need.
FIELD_CHARACTERS = {*range(0x20, 0x7F), *range(0xA0, 0x100), 0x2013, 0x2019, 0x2212}
# What the source lacks and the packet's words may hold, as an outline's points in font units
# (1000 to the em), for a stroke of thickness s.
BLANKS = {0x2009: 200, 0x202F: 200, 0x200B: 0, 0x2060: 0}
SAME_AS = {0x03BC: 0x00B5, 0x2010: 0x002D, 0x2011: 0x002D, 0x2126: 0x03A9}

Contour = list[tuple[float, float]]


def drawn_signs(s: float) -> dict[int, tuple[int, list[Contour]]]:
    """Advance width and contours of each sign drawn here; holes run the other way round."""
    left = [(60.0, 250.0), (340.0, 480.0), (340.0, 250 + s / 2), (840.0, 250 + s / 2)]
    left += [(840.0, 250 - s / 2), (340.0, 250 - s / 2), (340.0, 20.0)]
    right = [(900 - x, y) for x, y in reversed(left)]
    upward = [(y + 50, 700 - x + 10) for x, y in left]
    downward = [(x, 670 - y) for x, y in reversed(upward)]
    frame = [[(70.0, -30.0), (70.0, 670.0), (770.0, 670.0), (770.0, -30.0)]]
    frame += [[(70 + s, -30 + s), (770 - s, -30 + s), (770 - s, 670 - s), (70 + s, 670 - s)]]
    triangle = [[(20.0, 0.0), (330.0, 668.0), (640.0, 0.0)]]
    triangle += [[(20 + 1.6 * s, s), (640 - 1.6 * s, s), (330.0, 668 - 2.3 * s)]]
    alert = [[(20.0, -40.0), (500.0, 790.0), (980.0, -40.0)]]
    alert += [[(455.0, 220.0), (545.0, 220.0), (565.0, 520.0), (435.0, 520.0)]]
    alert += [[(440.0, 60.0), (560.0, 60.0), (560.0, 170.0), (440.0, 170.0)]]
    check = [(60.0, 300.0), (60 + s, 300 + s), (290.0, 70 + 1.5 * s), (700.0, 640.0)]
    check += [(700 + s, 640 - s * 0.7), (300.0, -20.0)]
    return {
        0x2190: (900, [left]),
        0x2192: (900, [right]),
        0x2191: (600, [upward]),
        0x2193: (600, [downward]),
        0x2713: (820, [check]),
        0x2610: (840, frame),
        0x0394: (660, triangle),
        0x03A9: (760, [ohm(s)]),
        0x26A0: (1000, alert),
    }


def ohm(s: float) -> Contour:
    """A ring open at the foot, on two feet."""

    def arc(radius_x: float, radius_y: float, angles: range) -> Contour:
        turns = [math.radians(angle) for angle in angles]
        return [(380 + radius_x * math.cos(t), 370 + radius_y * math.sin(t)) for t in turns]

    outer = arc(320, 305, range(-50, 231, 8))
    inner = arc(320 - s, 305 - s, range(246, -67, -8))
    return [
        (60, 0),
        (60, s),
        *reversed(outer),
        (700, s),
        (700, 0),
        (450, 0),
        *reversed(inner),
        (310, 0),
    ]


def source(folder: Path, style: str) -> TTFont:
    """One weight without hinting, its slashed zero in place of the plain one."""
    font = TTFont(folder / f"IBMPlexSansCondensed-{style}.woff2", recalcTimestamp=False)
    font.flavor = None
    for table in unicode_tables(font):
        table.cmap[ord("0")] = SLASHED_ZERO
    return cut(font, set(font.getBestCmap()) & KEPT)


def cut(font: TTFont, characters: set[int]) -> TTFont:
    """The font with these characters only, and the features that set running text."""
    options = Options(hinting=False, layout_features=FEATURES, name_IDs=["*"], notdef_outline=True)
    options.recalc_timestamp = False
    subsetter = Subsetter(options)
    subsetter.populate(unicodes=characters)
    subsetter.subset(font)
    return font


def add_glyph(font: TTFont, code: int, width: int, contours: list[Contour]) -> None:
    """Draw one sign of straight strokes."""
    pen = TTGlyphPen(None)
    for contour in contours:
        pen.moveTo(contour[0])
        for point in contour[1:]:
            pen.lineTo(point)
        pen.closePath()
    put(font, code, width, pen)


def put(font: TTFont, code: int, width: int, pen: TTGlyphPen) -> None:
    """Store a drawn glyph under a code point."""
    name = f"uni{code:04X}"
    font.setGlyphOrder([*font.getGlyphOrder(), name])
    glyph = pen.glyph()
    font["glyf"].glyphs[name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"].metrics[name] = (width, getattr(glyph, "xMin", 0))
    for table in unicode_tables(font):
        table.cmap[code] = name


def unicode_tables(font: TTFont) -> list[CmapSubtable]:
    """The character maps to extend."""
    return [table for table in font["cmap"].tables if table.isUnicode()]


def complete(font: TTFont) -> None:
    """Add the signs the source lacks."""
    font["glyf"].glyphOrder = font.getGlyphOrder()
    held = set(font.getBestCmap())
    minus = font["glyf"][font.getBestCmap()[0x2212]]
    for code, (width, contours) in drawn_signs(float(minus.yMax - minus.yMin)).items():
        if code not in held:
            add_glyph(font, code, width, contours)
    for code, width in BLANKS.items():
        if code not in held:
            put(font, code, width, TTGlyphPen(None))
    for table in unicode_tables(font):
        for code, other in SAME_AS.items():
            table.cmap.setdefault(code, table.cmap[other])


def rename(font: TTFont, family: str, style: str) -> None:
    """Name the modified version, keeping copyright and licence."""
    plain = family.replace(" ", "")
    names = {1: family, 2: style, 3: f"{plain}-{style};1.0", 4: f"{family} {style}"}
    names |= {6: f"{plain}-{style}"}
    names |= {13: "Licensed under the SIL Open Font License, Version 1.1; see OFL.txt."}
    # The family has this one width: readers that match by it are not to call it condensed.
    font["OS/2"].usWidthClass = 5
    table = font["name"]
    table.names = [name for name in table.names if name.nameID in (0, 14)]
    for number, text in names.items():
        table.setName(text, number, 3, 1, 0x409)


def ranges(characters: set[int]) -> str:
    """Code points as lines of `first-last`, for checking words without opening a font."""
    lines: list[list[int]] = []
    for code in sorted(characters):
        if lines and code == lines[-1][1] + 1:
            lines[-1][1] = code
        else:
            lines.append([code, code])
    return "".join(f"{first:04X}-{last:04X}\n" for first, last in lines)


def main(folder: Path, target: Path) -> None:
    """Write the three fonts and the list of characters that both weights hold."""
    held: set[int] | None = None
    for style in STYLES:
        font = source(folder, style)
        complete(font)
        rename(font, FAMILY, style)
        font.recalcTimestamp = False
        font.save(target / f"JobPacketSans-{style}.ttf")
        held = set(font.getBestCmap()) if held is None else held & set(font.getBestCmap())
    (target / "characters.txt").write_text(ranges(held or set()), encoding="ascii")
    small = TTFont(target / "JobPacketSans-Regular.ttf", recalcTimestamp=False)
    small = cut(small, FIELD_CHARACTERS)
    for tag in ("GSUB", "GPOS", "GDEF"):
        if tag in small:
            del small[tag]
    rename(small, FIELD_FAMILY, "Regular")
    small.save(target / "JobPacketSansField-Regular.ttf")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]) if sys.argv[2:] else Path(__file__).parent)
