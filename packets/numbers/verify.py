"""Start and verification: electrical, heat and drier limits; the bands stand in `bands`."""

from __future__ import annotations

from packets import reference
from packets.model.numbers import WriteIn
from packets.numbers import bands
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import PSI


def add(context: Context) -> None:
    """Add the verify.*, start.* and drier.* entries."""
    bands.add(context)
    _electrical(context)
    _start(context)
    _drier(context)


def _electrical(context: Context) -> None:
    supply = context.equipment.supply
    band, unbalance = practice("utilization-voltage"), practice("unbalance-usual")
    for id, label, sign, way in (
        ("verify.volts_low", "Lowest voltage", -1, "up"),
        ("verify.volts_high", "Highest voltage", 1, "down"),
    ):
        context.practice(
            id,
            label,
            "voltage",
            supply.volts.value * (1 + sign * band["band_percent"] / 100),
            band,
            round=way,
            inputs=(context.given("rated voltage", supply.volts, "supply.volts"),),
            working=f"{supply.volts.text} {'+' if sign > 0 else '-'} {band['band_percent']} %",
        )
    context.practice(
        "verify.unbalance_limit",
        "Voltage unbalance",
        "ratio",
        unbalance["limit_percent"] / 100,
        unbalance,
        round="down",
    )
    low = context.register.number("verify.volts_low")
    assert low is not None
    # Of three voltages none is further from the mean than two thirds of the spread.
    spread = 1.5 * unbalance["limit_percent"] / 100 * low.value
    context.practice(
        "verify.spread_limit",
        "Highest less lowest voltage",
        "voltage",
        spread,
        unbalance,
        round="down",
        working=f"1.5 x {unbalance['limit_percent']} % x {low.value:.1f} V = {spread:.1f} V",
        assumption="a spread of this keeps the unbalance within its limit at any voltage allowed",
    )
    part = context.parts.compressor
    current = (
        part.rated_load_current if part else None
    ) or context.record.compressor.rated_load_current
    if current is None:
        context.register.add(
            WriteIn(
                "verify.current_limit",
                "Highest current",
                "current",
                "rated load current on the compressor's plate",
            )
        )
    else:
        context.number(
            "verify.current_limit",
            "Highest current",
            "current",
            current.value,
            round="down",
            formula="rated load current of the compressor fitted",
            working=current.text,
            inputs=(context.given("rated load current", current, "compressor"),),
            source="nameplate",
            confidence="given",
            assumption="a ceiling; the expected current comes from the maker's curve",
        )
    row = practice("heat-pump-weigh-in-only")
    context.practice(
        "verify.weigh_in_below",
        "Heat pump charged by weight only below",
        "temperature",
        (row["outdoor_f"] + 459.67) / 1.8,
        row,
    )
    row = practice("discharge-line")
    context.practice(
        "verify.discharge_limit",
        "Discharge line, hottest",
        "temperature",
        (row["temperature_f"] + 459.67) / 1.8,
        row,
        round="down",
    )
    store = context.equipment.store
    if store is not None:
        context.number(
            "verify.box",
            "Box setpoint",
            "temperature",
            store.setpoint.value,
            formula="as given",
            working=store.setpoint.text,
            source="equipment record",
            confidence="given",
        )
    else:
        context.register.wait("verify.box", "store.setpoint", "the machine serves no cold store")


def _start(context: Context) -> None:
    cut_in = context.record.controls.low_pressure_cut_in
    if cut_in is None:
        context.register.add(
            WriteIn(
                "start.cut_in",
                "Low-pressure cut-in",
                "gauge-pressure",
                "setting on the low-pressure control",
            )
        )
    else:
        context.number(
            "start.cut_in",
            "Low-pressure cut-in",
            "gauge-pressure",
            cut_in.value,
            round="up",
            formula="as given",
            working=cut_in.text,
            source="equipment record",
            confidence="given",
        )
    heater = context.record.compressor.heater_time
    if heater is not None:
        context.number(
            "start.heater_hours",
            "Crankcase heater on before the start",
            "time",
            heater.value,
            round="up",
            unit="h",
            formula="as given",
            working=heater.text,
            source="equipment record",
            confidence="given",
        )
    else:
        row = practice("crankcase-heater")
        context.practice(
            "start.heater_hours",
            "Crankcase heater on before the start",
            "time",
            row["wait_high_h"] * 3600.0,
            row,
            round="up",
            unit="h",
        )


def _drier(context: Context) -> None:
    """Highest pressure drop of a clean-up suction drier, by evaporating range and refrigerant."""
    span = context.record.evaporating
    if span is None:
        context.register.wait(
            "drier.drop_limit", context.key("evaporating"), "its table is by evaporating range"
        )
        return
    high, low = (end.value * 1.8 - 459.67 for end in (span.high, span.low))
    table = reference.table("driers")
    rows = [
        r
        for r in table.rows
        if r["id"].startswith("suction-temporary") and r["evap_high_f"] >= high - 1e-6
    ]
    rows = [r for r in rows if r["evap_low_f"] <= low + 1e-6]
    listed = [r for r in rows if context.record.refrigerant in r["refrigerants"]]
    if not rows:
        context.register.add(
            WriteIn(
                "drier.drop_limit",
                "Suction drier, highest drop",
                "pressure-difference",
                "limit in the drier's leaflet",
            )
        )
        return
    chosen = min(listed or rows, key=lambda r: r["drop_psi"])
    source = table.source(chosen)
    context.number(
        "drier.drop_limit",
        "Suction drier, highest drop",
        "pressure-difference",
        chosen["drop_psi"] * PSI,
        round="down",
        formula="table by evaporating range and refrigerant",
        working=f"{chosen['application']}: {chosen['drop_psi']} psi",
        inputs=(context.given("evaporating range", span.low, context.key("evaporating")),),
        source=source.text,
        confidence=source.confidence if listed else "practice",
        assumption=""
        if listed
        else f"{context.record.refrigerant} is not in the table; the strictest row of its range",
    )
