"""Rebuild the committed examples: PDF and page pictures. Look at every page before committing.

Usage: python tests/rebuild_examples.py   (pictures need poppler's pdftoppm)
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

EXAMPLES = Path(__file__).parent.parent / "output_examples"


def build(job: Path, output: Path) -> None:
    """Build one packet with the command itself."""
    command = [sys.executable, "-m", "packets", "build", str(job), "-o", str(output)]
    subprocess.run(command, check=True, cwd=EXAMPLES.parent)


def picture(pdf: Path, page: int, target: Path) -> None:
    """One page as a PNG."""
    with tempfile.TemporaryDirectory() as folder:
        stem = str(Path(folder) / "page")
        pages = ["-f", str(page), "-l", str(page)]
        subprocess.run(
            ["pdftoppm", "-png", "-gray", "-r", "70", *pages, str(pdf), stem], check=True
        )
        (made,) = Path(folder).glob("*.png")
        shutil.move(made, target)


def main() -> None:
    """Rebuild every example."""
    for folder in sorted(path.parent for path in EXAMPLES.glob("*/job.yaml")):
        packet = folder / "packet.pdf"
        build(folder / "job.yaml", packet)
        if shutil.which("pdftoppm"):
            picture(packet, 1, folder / "page-1.png")
            picture(packet, 3, folder / "card.png")
        else:
            print("pdftoppm is not installed: pictures not made", file=sys.stderr)


if __name__ == "__main__":
    main()
