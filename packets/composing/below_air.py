"""Bands that reach below the air's pressure, as a compound gauge shows them."""

from __future__ import annotations

from decimal import Decimal

from packets.formatting import Shown
from packets.model.limits import VACUUM, Row, gauge_text, plain
from packets.quantities import INCH_HG, from_si


def across_air(shown: Shown) -> Shown:
    """An end of a band that crosses the air's pressure: the same value with psig for its unit, so
    that one box takes both. It prints in inches of mercury as before."""
    if shown.unit != VACUUM:
        return shown
    value = from_si(float(shown.value) * INCH_HG, "gauge-pressure", "psig")
    return Shown(Decimal(f"{value:.7g}"), "psig", shown.text)


def below(value: Decimal, unit: str) -> str:
    """A value of a column: below the air's pressure with the unit that the gauge shows there."""
    return gauge_text(value, unit) if unit == "psig" and value < 0 else plain(value)


def band(row: Row, unit: str) -> str:
    """The band of a row; an end above the air's pressure names its unit beside one below it."""
    low, high = below(row.low, unit), below(row.high, unit)
    if unit == "psig" and row.low < 0 <= row.high:
        return f"{low} to {gauge_text(row.high, unit)}"
    return f"{low} to {high}"
