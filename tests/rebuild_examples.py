"""Rebuild the committed examples: PDF, readings, records, page pictures. Look at every page before
committing.

Usage: python tests/rebuild_examples.py   (pictures need poppler's pdftoppm)
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parent.parent
EXAMPLES = ROOT / "output_examples"
# How the example's packet came back: by name, what the technician wrote (see filling).
SETS = ("good", "bad")


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


def readings(job: Path, name: str) -> str:
    """A readings file of the job's packet, filled in."""
    from packets import pipeline
    from tests import filling

    packet = pipeline.prepare(job).packet
    if packet is None:
        raise SystemExit(f"{job}: no packet; run packets check")
    return filling.returned(packet, filling.RETURNED[job.parent.name].of(name))


def review(folder: Path, name: str, output: Path) -> None:
    """Review a readings file with the command itself; an open job ends it with 1."""
    command = [sys.executable, "-m", "packets", "review", "job.yaml", f"readings-{name}.yaml"]
    done = subprocess.run([*command, "-o", str(output)], cwd=folder, check=False)
    if done.returncode not in (0, 1):
        raise SystemExit(done.returncode)


def returned(folder: Path, name: str) -> None:
    """One set of readings and its record."""
    file = folder / f"readings-{name}.yaml"
    file.write_text(readings(folder / "job.yaml", name), encoding="utf-8")
    with tempfile.TemporaryDirectory() as made:
        review(folder, name, Path(made))
        for kind in ("json", "pdf"):
            (record,) = Path(made).glob(f"*-record.{kind}")
            shutil.move(record, folder / f"record-{name}.{kind}")
    if shutil.which("pdftoppm"):
        picture(folder / f"record-{name}.pdf", 1, folder / f"record-{name}.png")


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
        for name in SETS:
            returned(folder, name)


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    main()
