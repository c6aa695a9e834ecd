"""Where our own data files are, in a checkout and in an installed wheel alike.

The wheel carries `procedures/`, `schemas/` and the examples' job files inside the package (see
pyproject.toml); a checkout, an editable install included, has them beside it.
"""

from __future__ import annotations

from pathlib import Path

PACKAGE = Path(__file__).resolve().parent


def _folder(name: str, beside: str = "") -> Path:
    inside = PACKAGE / name
    return inside if inside.is_dir() else PACKAGE.parent / (beside or name)


def procedures() -> Path:
    """The shipped procedures folder."""
    return _folder("procedures")


def schemas() -> Path:
    """The shipped schemas folder."""
    return _folder("schemas")


def tables() -> Path:
    """The reference tables, which are part of the package."""
    return PACKAGE / "tables"


def examples() -> list[Path]:
    """The example jobs, in order of their names."""
    return sorted(_folder("examples", "output_examples").glob("*/job.yaml"))
