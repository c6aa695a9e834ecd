"""How the system is purged as a whole, by flow or by pressure cycles, and the low flow at a flame.

Purged by flow, the flow starts at what practice gives and rises, in steps of the flowmeter, so that
the purge ends within the table's longest. Where even the highest flow takes longer, or where a
capillary tube lets no such flow through, the system is purged by pressure cycles: filled until both
gauges show it and vented, as often as thins the old gas as far. A cycle also reaches dead ends,
needs no flowmeter, and is counted.
"""

from __future__ import annotations

from packets import reference
from packets.formatting import tube
from packets.formulas import nitrogen, purging
from packets.model.numbers import Input, Words
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.numbers.sweeps import SCFH, chosen_flow, gas_of_volumes, printed_seconds
from packets.numbers.volume import InternalVolume, internal_volume, wait_for_volume
from packets.quantities import CUBIC_FOOT, INCH, PSI

_SWEEP = ("purge.sweep_flow", "purge.sweep_time")
_CYCLES = ("purge.cycles", "purge.cycle_pressure", "purge.cycle_time", "purge.vent_hose")


def add(context: Context) -> None:
    """Add the purge.* entries: the low flow while brazing, the vented cap, the whole system."""
    _low_flow(context)
    cap = practice("vented-cap")
    context.register.add(
        Words(
            "purge.vent_hole",
            "Hole in a vented cap",
            tube(cap["hole_in"] * INCH),
            reference.table("practice").source(cap).text,
        )
    )
    volume = internal_volume(context)
    if volume is None:
        wait_for_volume(
            context, *_SWEEP, *_CYCLES, "nitrogen.needed", "nitrogen.keep", "nitrogen.cylinders"
        )
        return
    most = practice("sweep-flow-most")["flow_scfh"] * SCFH
    gas = gas_of_volumes(context, volume.most)
    longest = practice("sweep-longest")["whole_min"] * 60.0
    if gas / most > longest or _through_capillary(context):
        _cycles(context, volume)
    else:
        _flow(context, volume, gas, longest)


def _through_capillary(context: Context) -> bool:
    """Whether the gas of a purge by flow would have to pass a capillary tube."""
    sweep, parts = context.hookups.sweep, context.hookups.made.parts
    if sweep is None or context.record.metering.device != "capillary":
        return False
    passed = [parts[leg.element] for leg in sweep.legs if leg.element in parts]
    return any(part.kind == "metering" for part in passed)


def cycles(context: Context) -> int:
    """How many pressure cycles purge the whole system; 0 where it is purged by flow."""
    pressure = context.register.number("purge.cycle_pressure")
    if pressure is None:
        return 0
    count = practice("sweep-volumes")["changes_count"]
    return purging.pressure_cycles(count, pressure.value, context.atmosphere)


def _low_flow(context: Context) -> None:
    row = practice("braze-trickle")
    low, high = row["flow_low_scfh"] * SCFH, row["flow_high_scfh"] * SCFH
    lower = context.shown(low, "volume-flow", "up")
    upper = context.shown(high, "volume-flow", "down")
    source = reference.table("practice").source(row).text
    text = f"{lower.split()[0]} to {upper}"
    context.register.add(Words("purge.flow", "Flow while brazing", text, source))
    context.practice(
        "purge.flow_low", "Flow while brazing, lowest", "volume-flow", low, row, round="up"
    )
    context.practice(
        "purge.flow_high", "Flow while brazing, highest", "volume-flow", high, row, round="down"
    )


def _flow(context: Context, volume: InternalVolume, gas: float, longest: float) -> None:
    row, changes = practice("sweep-flow"), practice("sweep-volumes")
    flow = chosen_flow(gas, longest)
    seconds = nitrogen.sweep_time(gas, flow)
    scfh, count = flow / SCFH, changes["changes_count"]
    for name in _CYCLES:
        context.register.wait(name, context.key("internal_volume"), "the system is purged by flow")
    context.practice(
        "purge.sweep_flow",
        "Purge with nitrogen at",
        "volume-flow",
        flow,
        row,
        formula="the usual flow, or more where the purge would last too long",
        working=f"{count} x {volume.text} in {longest / 60:.0f} min at most: {scfh:.0f} scfh",
    )
    source = reference.table("practice").source(changes)
    context.number(
        "purge.sweep_time",
        "Purge for",
        "time",
        seconds,
        round="up",
        formula="volumes purged x internal volume / flow",
        working=f"{count} x {volume.text} at {scfh:.0f} scfh = {seconds / 60:.1f} min",
        inputs=(volume.input,),
        source=source.text,
        confidence=source.confidence,
    )


def _cycles(context: Context, volume: InternalVolume) -> None:
    row = practice("purge-cycle")
    pressure, low = row["pressure_psig"] * PSI, context.record.design_pressure.low
    # Both sides are filled: never above what the low side is built for.
    pressure = min(pressure, low.value) if low else pressure
    air, outdoor = context.atmosphere, context.job.conditions.outdoor.value
    for name in _SWEEP:
        context.register.wait(
            name, context.key("internal_volume"), "the system is purged by pressure cycles"
        )
    context.practice(
        "purge.cycle_pressure", "Fill each cycle to", "gauge-pressure", pressure, row, round="up"
    )
    practiced = reference.table("practice").source(row)
    context.register.add(
        Words(
            "purge.cycles",
            "Pressure cycles",
            f"{cycles(context)} cycles",
            "volumes of flow / ln(filled / vented pressure), rounded up: pressure purging, Crowl"
            " and Louvar, Chemical Process Safety, from memory",
        )
    )
    hose = max((one.bore.value for one in context.kit.vacuum_hoses), default=INCH / 4)
    context.register.add(
        Words("purge.vent_hose", "Vent hose of the cycles", f"{tube(hose)} hose", "kit")
    )
    filled = nitrogen.fill_gas(volume.most, air, air + pressure, outdoor)
    filling = filled / (row["flow_scfh"] * SCFH)
    hole = practice("vent-hose")["share"] * hose
    venting = purging.vent_time(volume.most, pressure, PSI / 2, hole, air, outdoor)
    least = row["least_min"] * 60.0
    context.number(
        "purge.cycle_time",
        "Planned for one pressure cycle",
        "time",
        max(filling + venting, least),
        round="up",
        formula="gas filled / flow + time to vent through one hose, 3 min at least",
        working=f"{filled / CUBIC_FOOT:.1f} ft³ at {row['flow_scfh']} scfh ="
        f" {filling / 60:.1f} min; {venting / 60:.1f} min to vent",
        inputs=(volume.input, Input("vent hose", tube(hose), "kit, vacuum_hoses")),
        source=practiced.text,
        confidence=practiced.confidence,
        assumption="both gauges decide, not the clock",
    )


def gas_of_whole(context: Context, volume: InternalVolume) -> float:
    """Nitrogen of one purge of the whole system, as printed [m3 standard]."""
    time, flow = (context.register.number(name) for name in reversed(_SWEEP))
    if time and flow:
        return flow.value * printed_seconds(time.value)
    fill = context.register.number("purge.cycle_pressure")
    assert fill is not None
    air, outdoor = context.atmosphere, context.job.conditions.outdoor.value
    return cycles(context) * nitrogen.fill_gas(volume.most, air, air + fill.value, outdoor)
