"""Rows of the evacuation table, and numbers that are one row of it."""

from __future__ import annotations

from typing import Any

from packets import reference
from packets.reference import Source


def row(id: str) -> dict[str, Any]:
    """A row by its id. One that is not there is a fault of ours: ValueError."""
    found = reference.table("evacuation").find(id=id)
    if found is None:
        raise ValueError(f"table evacuation has no row {id}")
    return found


def source(row: dict[str, Any]) -> Source:
    """Source and confidence of a row."""
    return reference.table("evacuation").source(row)
