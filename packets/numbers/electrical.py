"""Volts, unbalance, amps and run capacitor: what the meter must read."""

from __future__ import annotations

from packets.formulas import verification as formula
from packets.model.equipment import RunCapacitor
from packets.model.numbers import Confidence, Input, Rounding, WriteIn, weakest
from packets.numbers.context import Context
from packets.numbers.machine import practice

_VOLTS: tuple[tuple[str, str, int, Rounding], ...] = (
    ("verify.volts_low", "Lowest voltage", -1, "up"),
    ("verify.volts_high", "Highest voltage", 1, "down"),
)
CURRENT = "Rated load current, a guide"
_BAND: tuple[tuple[str, str, Rounding], ...] = (("least", "least", "up"), ("most", "most", "down"))


def add(context: Context) -> None:
    """Add the voltage, current and capacitor entries."""
    _volts(context)
    _unbalance(context)
    _current(context)
    _capacitors(context)


def _volts(context: Context) -> None:
    supply, band = context.equipment.supply, practice("utilization-voltage")
    for id, label, sign, way in _VOLTS:
        value = supply.volts.value * (1 + sign * band["band_percent"] / 100)
        context.practice(
            id,
            label,
            "voltage",
            value,
            band,
            round=way,
            formula="rated voltage less or plus the share a machine is built for",
            inputs=(context.given("rated voltage", supply.volts, "supply.volts"),),
            working=f"{supply.volts.text} {'+' if sign > 0 else '-'} {band['band_percent']} %"
            f" = {value:.1f} V",
        )


def _unbalance(context: Context) -> None:
    """The limit by NEMA's rule, and a spread of three readings that is always inside it."""
    row, low = practice("unbalance-usual"), context.register.number("verify.volts_low")
    assert low is not None
    limit = row["limit_percent"] / 100
    context.practice(
        "verify.unbalance_limit",
        "Voltage unbalance",
        "ratio",
        limit,
        row,
        round="down",
        formula="largest difference of the three from their average / average (NEMA MG 1)",
        working=f"{row['limit_percent']} % of an average of {low.value:.1f} V:"
        f" none further from it than {limit * low.value:.1f} V",
        assumption=f"NEMA MG 1: full rating to {practice('unbalance-full-rating')['limit_percent']}"
        f" %, never above {practice('unbalance-never-above')['limit_percent']} %",
    )
    # Of three voltages none is further from the mean than two thirds of the spread.
    spread = 1.5 * limit * low.value
    context.practice(
        "verify.spread_limit",
        "Highest less lowest voltage",
        "voltage",
        spread,
        row,
        round="down",
        formula="1.5 x unbalance limit x lowest voltage allowed",
        working=f"1.5 x {row['limit_percent']} % x {low.value:.1f} V = {spread:.1f} V",
        inputs=(Input("lowest voltage", f"{low.value:.1f} V", "verify.volts_low"),),
        assumption="a spread of this keeps the unbalance within its limit at any voltage allowed",
    )


def _current(context: Context) -> None:
    """A guide: by facts of the trade the plate's current sizes the circuit and stops nothing."""
    part, old = context.parts.compressor, context.record.compressor
    current = (part.rated_load_current if part else None) or old.rated_load_current
    if current is None:
        read = "rated load current on the compressor's plate"
        context.register.add(WriteIn("verify.current_limit", CURRENT, "current", read))
        return
    context.number(
        "verify.current_limit",
        CURRENT,
        "current",
        current.value,
        round="down",
        formula="rated load current of the compressor fitted",
        working=current.text,
        inputs=(context.given("rated load current", current, "compressor"),),
        source="nameplate; that a machine run in stays under it is common practice, no source",
        confidence="practice",
        assumption="what wires and contactor are sized by, passed for a moment at each start and"
        " for longer under a heavy load; the maker's curve at the pressures read governs",
    )


def _capacitors(context: Context) -> None:
    """Bands of the capacitor found in the machine, and of the one that is fitted."""
    old, part = context.record.compressor.run_capacitor, context.parts.compressor
    new = (part.run_capacitor if part else None) or old
    where = f"parts.{context.circuit}.compressor.run_capacitor"
    _capacitor(context, "", "Run capacitor", old, context.key("compressor", "run_capacitor"))
    _capacitor(context, "new_", "New run capacitor", new, where)


def _capacitor(
    context: Context, which: str, label: str, marked: RunCapacitor | None, where: str
) -> None:
    if marked is None:
        for end, words, _ in _BAND:
            read = "value and band on its label"
            context.register.add(
                WriteIn(f"capacitor.{which}{end}", f"{label}, {words}", "capacitance", read)
            )
        return
    row, own = practice("capacitor-tolerance"), marked.within
    share = own.value if own else row["band_low_percent"] / 100
    ground: Confidence = "given" if own else row["confidence"]
    for (end, words, way), value in zip(
        _BAND, formula.capacitance_band(marked.value.value, share), strict=True
    ):
        context.number(
            f"capacitor.{which}{end}",
            f"{label}, {words}",
            "capacitance",
            value,
            round=way,
            formula="marked value less or plus its tolerance",
            working=f"{marked.value.text} {'-' if way == 'up' else '+'} {share:.0%}"
            f" = {value * 1e6:.2f} uF",
            inputs=(context.given("marked", marked.value, where),),
            source="marking of the capacitor"
            if own
            else "marking of the capacitor; tolerance EIA-456 / IEC 60252-1, from memory",
            confidence=weakest("given", ground),
            assumption="" if own else "no tolerance is stated; the stricter usual one is taken",
        )
