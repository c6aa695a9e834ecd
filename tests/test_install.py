"""Our data files are found alike from a checkout and from an installed wheel."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
EXAMPLE = ROOT / "output_examples" / "creamery-cooler" / "job.yaml"


def run(folder: Path, *words: str) -> subprocess.CompletedProcess[str]:
    """Run the command with the package found in `folder` only."""
    code = f"import sys; sys.path.insert(0, {str(folder)!r}); from packets.cli import main; main()"
    return subprocess.run(
        [sys.executable, "-I", "-c", code, *words],
        capture_output=True,
        text=True,
        timeout=60,
        cwd=folder,
        check=False,
    )


@pytest.fixture(scope="module")
def installed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel, built and installed into a folder of its own."""
    folder = tmp_path_factory.mktemp("wheel")
    pip = [sys.executable, "-m", "pip", "--quiet", "--disable-pip-version-check"]
    build = ["wheel", "--no-deps", "--no-build-isolation", "-w", str(folder), str(ROOT)]
    subprocess.run([*pip, *build], check=True, timeout=120)
    (wheel,) = folder.glob("*.whl")
    target = folder / "site"
    install = ["install", "--no-deps", "--no-index", "--target", str(target), str(wheel)]
    subprocess.run([*pip, *install], check=True, timeout=120)
    return target


def test_an_installed_wheel_finds_procedures_schemas_and_tables(installed: Path) -> None:
    assert (installed / "packets" / "procedures" / "recover.yaml").is_file()
    assert (installed / "packets" / "schemas" / "job.json").is_file()
    assert (installed / "packets" / "tables" / "saturation" / "R-448A.json").is_file()
    assert (installed / "packets" / "fonts" / "OFL.txt").is_file()
    examples = [p.parent.name for p in (ROOT / "output_examples").glob("*/job.yaml")]
    carried = [p.parent.name for p in (installed / "packets" / "examples").glob("*/job.yaml")]
    assert sorted(carried) == sorted(examples)
    done = run(installed, "check", str(EXAMPLE))
    assert done.returncode == 0, done.stdout + done.stderr


def test_an_installed_wheel_prints_a_handout_without_a_job(installed: Path, tmp_path: Path) -> None:
    done = run(installed, "handout", "isolate", "-o", str(tmp_path / "isolate.pdf"))
    assert done.returncode == 0, done.stderr
    assert (tmp_path / "isolate.pdf").read_bytes().startswith(b"%PDF")


def test_wheel_and_checkout_say_the_same(installed: Path) -> None:
    for words in (("plan", str(EXAMPLE), "--json"), ("numbers", str(EXAMPLE), "--json")):
        theirs, ours = run(installed, *words), run(ROOT, *words)
        assert theirs.returncode == ours.returncode == 0, theirs.stderr + ours.stderr
        assert theirs.stdout == ours.stdout
