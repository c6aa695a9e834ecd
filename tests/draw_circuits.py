"""Draw every circuit and its hook-ups, to look at. Usage: python tests/draw_circuits.py OUT [ID...]

Writes each drawing as SVG and, for each circuit and size, a sheet as PDF in the packet's typeface.
"""

from __future__ import annotations

import sys
import time
from html import escape
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from packets import pdf, rendering
from packets.drawings.board import lay_out
from packets.drawings.drawing import FULL, HALF, THIRD, Drawing
from tests.circuit.known import IDS, circuit
from tests.drawings import samples

STYLE = """
@page { size: letter; margin: 10mm 11mm }
html { font: 9pt/1.2 Packet }
figure { display: inline-block; vertical-align: top; margin: 0 1mm 3mm 0; break-inside: avoid }
b { font-size: 11pt } p { margin: 0 }
svg { border: 0.1mm dotted #999 }
"""


def figure(one: Drawing) -> str:
    """A drawing with its words."""
    return (
        f'<figure style="width: {one.width_mm}mm"><b>{escape(one.title)}</b>{one.svg}'
        f"<p>{escape(one.description)}</p></figure>"
    )


def main(target: Path, ids: list[str]) -> None:
    """Draw, write, and say how long it took."""
    target.mkdir(parents=True, exist_ok=True)
    made = {id: circuit(id) for id in IDS} | samples.differing()
    for id in ids or made:
        for size, word in ((FULL, "full"), (HALF, "half"), (THIRD, "third")):
            begun = time.process_time()
            board = lay_out(made[id], size)
            laid = time.process_time()
            drawn = samples.job(board, ("compressor", "drier"))
            done = time.process_time()
            for name, one in drawn:
                (target / f"{id}-{word}-{name}.svg").write_text(one.svg, encoding="utf-8")
            tall = max(one.height_mm for _, one in drawn)
            print(
                f"{id} {word}: board {1000 * (laid - begun):.0f} ms, {len(drawn)} drawings with "
                f"their plans {1000 * (done - laid):.0f} ms, at most {tall:.0f} mm high"
            )
            faces = rendering._source("typeface.css")
            body = "".join(figure(one) for _, one in drawn)
            page = (
                f'<!doctype html><html lang="en"><title>{id}</title><style>{faces}{STYLE}</style>'
            )
            sheet = pdf.write(f"{page}<body>{body}", identifier=id)
            (target / f"{id}-{word}.pdf").write_bytes(sheet)


if __name__ == "__main__":
    main(Path(sys.argv[1]), sys.argv[2:])
