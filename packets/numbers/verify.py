"""Start and verification: heat, ratio, air and drier limits; bands and electrical stand apart."""

from __future__ import annotations

from packets import reference
from packets.formulas import verification as formula
from packets.model.numbers import Input, Rounding, WriteIn, weakest
from packets.numbers import bands, electrical, orifice
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import PSI

_WAYS: tuple[Rounding, Rounding] = ("up", "down")


def add(context: Context) -> None:
    """Add the verify.*, start.* and drier.* entries."""
    bands.add(context)
    orifice.add(context)
    electrical.add(context)
    _limits(context)
    _start(context)
    _drier(context)


def _limits(context: Context) -> None:
    """Discharge line, compression ratio, approach, temperature split, box setpoint."""
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
    _ratio(context)
    _approach(context)
    _split(context)
    store = context.equipment.store
    if store is None:
        context.register.wait("verify.box", "store.setpoint", "the machine serves no cold store")
        return
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


def _ratio(context: Context) -> None:
    """Highest compression ratio allowed, and the highest this machine's own range can ask for."""
    own, row = (
        context.record.compressor.highest_ratio,
        practice("compression-ratio-low-temperature"),
    )
    key = context.key("compressor", "highest_ratio")
    limit = own.value if own else float(row["ratio_low"])
    source = reference.table("practice").source(row)
    context.number(
        "verify.ratio_limit",
        "Compression ratio, highest",
        "ratio",
        limit,
        round="down",
        unit="times",
        formula="discharge over suction pressure, both absolute: the maker's limit"
        if own
        else "discharge over suction pressure, both absolute: single stage at most",
        working=own.text if own else f"{row['ratio_low']} times",
        inputs=(context.given("maker's limit", own, key),) if own else (),
        source="equipment record" if own else source.text,
        confidence="given" if own else source.confidence,
    )
    low, high, fluid = context.record.evaporating, context.record.condensing, context.fluid
    if low is None or high is None or fluid is None:
        missing = "evaporating" if low is None else "condensing" if high is None else "chart"
        context.register.wait("verify.ratio", context.key(missing), "no ratio without it")
        return
    suction = fluid.table.dew_pressure(low.low.value)
    discharge = fluid.table.dew_pressure(high.high.value)
    ratio = formula.compression_ratio(max(discharge, suction), suction)
    context.number(
        "verify.ratio",
        "Compression ratio at the ends of its range",
        "ratio",
        ratio,
        round="up",
        unit="times",
        formula="dew pressure at the highest condensing / at the lowest evaporating, absolute",
        working=f"{discharge / 1000:.0f} kPa / {suction / 1000:.0f} kPa = {ratio:.2f}",
        inputs=(
            context.given("highest condensing", high.high, context.key("condensing", "high")),
            context.given("lowest evaporating", low.low, context.key("evaporating", "low")),
        ),
        source=f"definition; {fluid.source}",
        confidence=weakest("computed", fluid.confidence),  # type: ignore[arg-type]
    )
    if ratio > limit:
        context.findings.warn(
            "compression-ratio",
            context.record_place("condensing"),
            f"its range asks for a compression ratio of {ratio:.1f}, {limit:g} is the limit",
            "check both ranges with the maker's data; the discharge line will run hot",
        )


def _approach(context: Context) -> None:
    metering = context.record.metering
    names = ("verify.approach_least", "verify.approach_most")
    if metering.approach is None:
        for name in names:
            key = context.key("metering", "approach")
            context.register.wait(name, key, "the maker's approach is not stated")
        return
    row = practice("subcooling-installer")
    within = metering.approach_within
    allowed = within.value if within else row["band_f_diff"] / 1.8
    words = within.text if within else f"{row['band_f_diff']} °F"
    source = reference.table("practice").source(row)
    for name, sign, way in zip(names, (-1, 1), _WAYS, strict=True):
        value = max(metering.approach.value + sign * allowed, 0.0)
        context.number(
            name,
            f"Liquid line above the outdoor air, {'most' if sign > 0 else 'least'}",
            "temperature-difference",
            value,
            round=way,
            formula="the maker's approach less or plus the allowed difference",
            working=f"{metering.approach.text} {'+' if sign > 0 else '-'} {words}",
            inputs=(
                context.given("approach", metering.approach, context.key("metering", "approach")),
            ),
            source="equipment record" if within else f"equipment record; {source.text}",
            confidence="given" if within else source.confidence,
        )


def _split(context: Context) -> None:
    """The split that the maker's sensible heat asks of this flow in this air."""
    air = context.record.air
    names = ("verify.split_least", "verify.split_most")
    if air is None:
        for name in ("verify.split", *names):
            context.register.wait(name, context.key("air"), "air flow and heat are not stated")
        return
    split = formula.temperature_split(air.sensible_heat.value, air.flow.value, context.atmosphere)
    share = context.atmosphere / 101325
    working = (
        f"{air.sensible_heat.value:.0f} W / ({formula.AIR_HEAT:.1f} x {air.flow.value:.3f} m³/s"
        f" x {share:.3f}) = {split:.1f} K"
    )
    for name, words, sign, way in zip(
        ("verify.split", *names),
        ("Air entering less air leaving", "Temperature split, least", "Temperature split, most"),
        (0, -1, 1),
        ("nearest", *_WAYS),
        strict=True,
    ):
        context.number(
            name,
            words,
            "temperature-difference",
            max(split + sign * air.split_within.value, 0.0),
            round=way,
            formula="sensible heat / (1207.2 J/(m³ K) x air flow x air pressure / 101.325 kPa)",
            working=working
            + (f"; {'+' if sign > 0 else '-'} {air.split_within.text}" if sign else ""),
            inputs=(
                context.given("air flow", air.flow, context.key("air", "flow")),
                context.given("sensible heat", air.sensible_heat, context.key("air")),
                Input("air pressure", f"{context.atmosphere / 1000:.1f} kPa", "site.atmosphere"),
            ),
            source="ASHRAE Fundamentals, sensible heat of standard air, from memory",
            confidence="memory",
            assumption="the flow and the return air are those the maker's heat is for",
        )


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
    row = practice("oil-stays-warm")
    context.practice(
        "start.power_off",
        "Power off at most, charge left in",
        "time",
        row["off_high_h"] * 3600.0,
        row,
        round="down",
        unit="h",
    )
    context.practice(
        "start.sump_above",
        "Sump above the outdoor air",
        "temperature-difference",
        row["above_low_f"] / 1.8,
        row,
        round="up",
        unit="degF",
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
