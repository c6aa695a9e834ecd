"""Tests of the machine at work and of the charge: superheat, subcooling, voltage, the scale."""

from __future__ import annotations

import math
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise

from packets.formatting import System, show
from packets.formulas import verification
from packets.formulas.ranges import OutOfRange
from packets.judging.feeds import Fed, Feeds, shown, word
from packets.model.basis import CircuitBasis
from packets.model.limits import with_unit
from packets.model.record import Test, Verdict


def tests(feeds: Feeds, basis: CircuitBasis, units: System) -> Iterator[Test]:
    """Those of one circuit that the packet asks for."""
    yield from _superheat(feeds, basis, units)
    yield from _subcooling(feeds, basis, units)
    yield from _voltage(feeds)
    yield from _charge(feeds)


def saturation(basis: CircuitBasis, pressure: float) -> tuple[float, float] | None:
    """Bubble and dew temperature [K] at a gauge pressure [Pa], between the packet's points."""
    for below, above in pairwise(basis.saturation):
        if below.pressure <= pressure <= above.pressure:
            low, high, at = (
                math.log(p + basis.atmosphere) for p in (below.pressure, above.pressure, pressure)
            )
            share = (at - low) / (high - low) if high > low else 0.0
            return (
                below.bubble + share * (above.bubble - below.bubble),
                below.dew + share * (above.dew - below.dew),
            )
    return None


def _superheat(feeds: Feeds, basis: CircuitBasis, units: System) -> Iterator[Test]:
    """Line less dew temperature at the suction pressure; the line's printed band judges it."""
    line, pressure = feeds.last("suction-line"), feeds.si("suction-pressure")
    if line is None:
        return
    value, ends = feeds.si("suction-line"), None
    if pressure is not None:
        ends = saturation(basis, pressure)
    if value is None or ends is None:
        reason = line.judged.reason or "suction pressure and line are needed"
        yield Test(line.step, "Superheat", word(line.judged.verdict), line.judged.verdict, reason)
        return
    heat = verification.superheat(value, ends[1])
    yield _degrees("Superheat", heat, f"dew {shown(ends[1], 'temperature', units)}", line, units)


def _subcooling(feeds: Feeds, basis: CircuitBasis, units: System) -> Iterator[Test]:
    """Bubble temperature at the liquid pressure less line; the line's printed band judges it."""
    line, pressure = feeds.last("liquid-line"), feeds.si("liquid-pressure")
    if line is None:
        return
    value, ends = feeds.si("liquid-line"), None
    if pressure is not None:
        ends = saturation(basis, pressure)
    if value is None or ends is None:
        reason = line.judged.reason or "liquid pressure and line are needed"
        yield Test(line.step, "Subcooling", word(line.judged.verdict), line.judged.verdict, reason)
        return
    cold = verification.subcooling(ends[0], value)
    yield _degrees(
        "Subcooling", cold, f"bubble {shown(ends[0], 'temperature', units)}", line, units
    )


def _degrees(title: str, value: float, side: str, line: Fed, units: System) -> Test:
    """One of the two, in degrees, with what judged it."""
    amount = show(value, "temperature-difference", units, "nearest").text
    reason = f"{side}; line {line.judged.measured}, allowed {line.judged.limit}"
    if line.judged.verdict not in ("pass", "out"):
        reason += f"; {line.judged.reason}"
    if value < 0:
        reason += "; below zero: liquid, or an instrument that is off"
    return Test(line.step, title, amount, line.judged.verdict, reason)


def _voltage(feeds: Feeds) -> Iterator[Test]:
    """Unbalance of three line voltages; the printed limit of their spread judges it."""
    volts = feeds.all("voltage")
    spread = feeds.last("voltage-spread")
    if len(volts) != 3 or spread is None:
        return
    values = [feeds.sheet.value(fed.blank) for fed in volts]
    known = [value for value in values if value is not None]
    verdict, limit = spread.judged.verdict, spread.blank.limit
    if len(known) < 3:
        yield Test(spread.step, "Voltage unbalance", word(verdict), verdict, "a voltage is missing")
        return
    try:
        unbalance = verification.voltage_unbalance(*(float(value) for value in known))
    except OutOfRange as problem:
        yield Test(spread.step, "Voltage unbalance", "not judged", "not-judged", str(problem))
        return
    apart, written = max(known) - min(known), feeds.sheet.value(spread.blank)
    reason = f"highest less lowest is {apart} {spread.blank.unit}"
    if written is not None and abs(written - apart) > 1:
        reason += f", the paper says {spread.judged.text}"
    if limit is not None and limit.allows(apart) is not None:
        verdict = "pass" if limit.allows(apart) else "out"
    yield Test(spread.step, "Voltage unbalance", f"{unbalance * 100:.1f} %", verdict, reason)


def _charge(feeds: Feeds) -> Iterator[Test]:
    """What the scales say was charged, against the printed limit of the written total."""
    total = feeds.last("charged")
    starts, ends = feeds.all("charge-start"), feeds.all("charge-end")
    if total is None or total.blank.limit is None or not starts or len(starts) != len(ends):
        return
    pairs = [
        (feeds.sheet.value(start.blank), feeds.sheet.value(end.blank))
        for start, end in zip(starts, ends, strict=True)
    ]
    units_used = {fed.blank.unit for fed in (*starts, *ends, total)}
    if len(units_used) > 1 or any(first is None or last is None for first, last in pairs):
        return
    # The paper's own digits are taken from one another: no rounding comes in between.
    exact = sum((a - b for a, b in pairs if a is not None and b is not None), Decimal(0))
    allowed = total.blank.limit.allows(exact)
    if allowed is None:
        return
    verdict: Verdict = "pass" if allowed else "out"
    reason = f"allowed {total.judged.limit}, the paper says {total.judged.text or 'nothing'}"
    yield Test(
        total.step,
        "Charge by the scale",
        with_unit(exact, total.blank.unit),
        verdict,
        reason,
    )
