"""Whether a reading can be what the instrument showed.

Two strengths. What no instrument can show, or what falls into a narrow band only when taken in
another unit or with its point moved, is not plausible. What is merely odd leaves the verdict as it
is and is noted as a doubt: an honest "out" must never be talked away.
"""

from __future__ import annotations

from decimal import Decimal

from packets.judging.entries import NotRead, from_si, to_si
from packets.model.basis import CircuitBasis
from packets.model.limits import VACUUM, plain
from packets.model.packet import Blank

# Lowest and highest SI value that a field instrument can show: common practice, no source. A
# pressure's lower end is the local air's, worked out below.
RANGES: dict[str, tuple[float, float]] = {
    "gauge-pressure": (-101_325.0, 16e6),
    "absolute-pressure": (0.0, 16e6),
    "pressure-difference": (-1e6, 16e6),
    "temperature": (193.15, 533.15),
    "temperature-difference": (-150.0, 150.0),
    "vacuum": (0.05, 107_000.0),
    "mass": (0.0, 5_000.0),
    "current": (0.0, 2_000.0),
    "voltage": (0.0, 15_000.0),
    "resistance": (0.0, 1e11),
    "frequency": (0.0, 1_000.0),
    "capacitance": (0.0, 0.01),
    "torque": (0.0, 5_000.0),
    "ratio": (0.0, 10.0),
    "volume": (0.0, 10.0),
    "time": (0.0, 3.2e7),
}
# Units that are taken for one another, by kind, under the name on the instrument.
_MISTAKEN: dict[str, tuple[str, ...]] = {
    "gauge-pressure": ("psig", "kPa gauge", "bar gauge", "MPa gauge"),
    "pressure-difference": ("psi", "kPa", "bar"),
    "temperature": ("°F", "°C"),
    "vacuum": ("micron", "Pa", "mbar"),
    "mass": ("lb", "oz", "kg", "g"),
    "torque": ("lbf ft", "lbf in", "N m"),
}
# A band is narrow when its ends lie this close together, seen from zero of its scale.
_NARROW = Decimal("1.25")
_MOVED = (Decimal(10), Decimal("0.1"), Decimal(100), Decimal("0.01"))

Band = tuple[Decimal | None, Decimal | None]


def impossible(value: Decimal, blank: Blank, circuit: CircuitBasis | None) -> str:
    """Why no instrument can have shown this; "" when one can."""
    if blank.quantity not in RANGES:
        return ""
    low, high = RANGES[blank.quantity]
    if blank.quantity == "gauge-pressure" and circuit is not None and circuit.atmosphere:
        # Half an inch of mercury for a gauge that is not at zero in air.
        low = -circuit.atmosphere - 1_700.0
    try:
        si = to_si(value, blank.quantity, blank.unit)
    except NotRead:
        return ""
    if si < low:
        ends = "under a perfect vacuum" if blank.quantity.endswith("pressure") else "that low"
        return f"no gauge reads {_shown(value, blank.unit)}: {ends}"
    if si > high:
        what = "a vacuum gauge ends at the air's pressure" if blank.quantity == "vacuum" else (
            "no field instrument reads that high"
        )  # fmt: skip
        return f"{_shown(value, blank.unit)}: {what}"
    return ""


def mistaken(value: Decimal, blank: Blank, band: Band) -> str:
    """What the entry would be if its unit or its point were mistaken; "" when neither fits.

    Only for a band with two ends close together: a wide band would catch honest readings too.
    """
    low, high = band
    if low is None or high is None or not _narrow(low, high):
        return ""
    for other in _MISTAKEN.get(blank.quantity, ()):
        if other == blank.unit:
            continue
        try:
            meant = from_si(to_si(value, blank.quantity, other), blank.quantity, blank.unit)
        except NotRead:
            continue
        if low <= meant <= high:
            return f"read as {other} it lies in the band: wrong unit?"
    for factor in _MOVED:
        if low <= value * factor <= high:
            return f"{plain((value * factor).normalize())} lies in the band: slipped point?"
    return ""


def _narrow(low: Decimal, high: Decimal) -> bool:
    return 0 < low <= high and high <= low * _NARROW


def finer(value: Decimal, blank: Blank) -> str:
    """That the entry is finer than the instrument's step; "" when it is not."""
    if not blank.step or blank.step <= 0 or value % blank.step == 0:
        return ""
    whose = f"{blank.instrument} " if blank.instrument else ""
    return f"finer than the instrument {whose}shows, steps of {_shown(blank.step, blank.unit)}"


def _shown(value: Decimal, unit: str) -> str:
    if unit == "lb oz":
        return f"{plain(value)} oz"
    if unit == VACUUM:
        return f"{plain(abs(value))} {VACUUM}"
    return f"{plain(value)} {unit}"
