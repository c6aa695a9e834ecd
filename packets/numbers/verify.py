"""Start and verification: line-temperature bands by gauge pressure, electrical and heat limits."""

from __future__ import annotations

import math

from packets import reference
from packets.formatting import System
from packets.formulas import verification
from packets.model.numbers import Input, NumberTable, TableRow, WriteIn
from packets.model.records import Span
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import PSI, Quantity

_K = 1 / 1.8
_ROWS = 9


def add(context: Context) -> None:
    """Add the verify.*, start.* and drier.* entries."""
    _superheat(context)
    _subcooling(context)
    _electrical(context)
    _start(context)
    _drier(context)


def _within(own: Quantity | None, row_id: str) -> tuple[float, str, str]:
    """Allowed difference, its source, its confidence: the record's, else the table of practice."""
    if own is not None:
        return own.value, "equipment record", "given"
    row = practice(row_id)
    source = reference.table("practice").source(row)
    return row["band_f_diff"] * _K, source.text, source.confidence


def _superheat(context: Context) -> None:
    metering, span = context.record.metering, context.record.evaporating
    _band(
        context,
        "verify.superheat",
        "superheat",
        metering.superheat,
        metering.superheat_within,
        "superheat-installer",
        span,
        "evaporating",
        title="Suction line temperature by suction pressure (superheat)",
    )


def _subcooling(context: Context) -> None:
    metering, span = context.record.metering, context.record.condensing
    _band(
        context,
        "verify.subcooling",
        "subcooling",
        metering.subcooling,
        metering.subcooling_within,
        "subcooling-installer",
        span,
        "condensing",
        title="Liquid line temperature by liquid pressure (subcooling)",
    )


def _band(
    context: Context,
    id: str,
    name: str,
    target: Quantity | None,
    own: Quantity | None,
    row_id: str,
    span: Span | None,
    key: str,
    title: str,
) -> None:
    """Allowed line temperature by gauge pressure: superheat from dew, subcooling from bubble."""
    missing = (
        ("metering", name)
        if target is None
        else (key,)
        if span is None
        else ("chart",)
        if context.fluid is None
        else None
    )
    if missing is not None or target is None or span is None or context.fluid is None:
        context.register.wait(id, context.key(*(missing or ())), f"no {name} band without it")
        return
    table, air = context.fluid.table, context.atmosphere
    within, source, confidence = _within(own, row_id)
    least, most = max(target.value - within, 0.0), target.value + within
    dew = name == "superheat"
    pressure = table.dew_pressure if dew else table.bubble_pressure
    low, high = pressure(span.low.value) - air, pressure(span.high.value) - air
    step = _nice(high - low, context.units)
    first = math.floor(low / step) * step
    rows = []
    for at in range(math.ceil((high - first) / step - 1e-9) + 1):
        gauge = first + at * step
        if dew:
            saturated = table.dew_temperature(gauge + air)
            band = verification.superheat_band(saturated, least, most)
            aim = saturated + target.value
        else:
            saturated = table.bubble_temperature(gauge + air)
            band = verification.subcooling_band(saturated, least, most)
            aim = saturated - target.value
        rows.append(TableRow(gauge, min(band), max(band), aim))
    resolution = context.kit.gauges.thermometer.resolution
    side = "dew" if dew else "bubble"
    context.register.add(
        NumberTable(
            id,
            title,
            "Gauge",
            "gauge-pressure",
            step,
            "Line",
            "temperature",
            resolution.value if resolution else _K,
            tuple(rows),
            "Aim",
            "nearest",
            f"{side} temperature at the gauge pressure {'plus' if dew else 'less'} {name}",
            (
                context.given(name, target, context.key("metering", name)),
                Input(
                    "allowed difference", context.shown(within, "temperature-difference"), source
                ),
                Input("air pressure", context.shown(air, "absolute-pressure"), "site.atmosphere"),
            ),
            f"{context.fluid.source}; {context.fluid.checked_against}",
            confidence if confidence != "given" else context.fluid.confidence,  # type: ignore[arg-type]
            note="Between two rows take the higher low end and the lower high end;"
            " outside the table: phone.",
        )
    )


def _nice(width: float, units: System) -> float:
    """A round step of the packet's own unit that gives about nine rows [Pa]."""
    unit, counts = (PSI, (1, 2, 5, 10, 20, 50)) if units == "ip" else (1e4, (1, 2, 5, 10, 20, 50))
    return next((n * unit for n in counts if width / (n * unit) <= _ROWS), counts[-1] * unit)


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
