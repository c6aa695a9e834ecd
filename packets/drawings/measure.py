"""Write `letter_widths.py` from the packet's typeface. Run by hand, not by `packets`.

Use: ``python -m packets.drawings.measure``
"""

from __future__ import annotations

import io
from pathlib import Path

from packets import fonts

TARGET = Path(__file__).parent / "letter_widths.py"
HEAD = '''"""Advance widths of the packet's typeface, written by `measure.py`: do not edit.

For each weight, thousandths of the type size and the characters that are so wide.
"""

'''


def advances(name: str) -> dict[int, str]:
    """Widths of one font and the printable characters that have them."""
    from fontTools.ttLib import TTFont

    font = TTFont(io.BytesIO(fonts.data(name)))
    scale = 1000 / font["head"].unitsPerEm
    found: dict[int, str] = {}
    for code, glyph in sorted(font.getBestCmap().items()):
        if chr(code) in fonts.characters() and chr(code).isprintable():
            width = round(font["hmtx"][glyph][0] * scale)
            found[width] = found.get(width, "") + chr(code)
    return dict(sorted(found.items()))


def table(label: str, name: str) -> str:
    """One weight as Python source."""
    rows = "".join(f"    {width}: {chars!r},\n" for width, chars in advances(name).items())
    return f"{label}: dict[int, str] = {{\n{rows}}}\n"


def main() -> None:
    """Write the module."""
    tables = [
        table("REGULAR", "JobPacketSans-Regular.ttf"),
        table("BOLD", "JobPacketSans-Bold.ttf"),
    ]
    TARGET.write_text(HEAD + "\n".join(tables), encoding="utf-8")


if __name__ == "__main__":
    main()
