"""Limits whose band reaches below the air's pressure."""

from __future__ import annotations

from decimal import Decimal

from packets.formatting import Shown
from packets.model.limits import VACUUM
from packets.quantities import INCH_HG, from_si


def across_air(shown: Shown) -> Shown:
    """An end of a band that crosses the air's pressure: the same value with psig for its unit, so
    that one box takes both. It prints in inches of mercury as before."""
    if shown.unit != VACUUM:
        return shown
    value = from_si(float(shown.value) * INCH_HG, "gauge-pressure", "psig")
    return Shown(Decimal(f"{value:.7g}"), "psig", shown.text)
