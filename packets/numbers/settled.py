"""What a settled machine is read for beside pressures and superheat: box, drier, air, controls,
heating and defrost."""

from __future__ import annotations

from packets import reference
from packets.formulas import verification as formula
from packets.model.numbers import Input, Rounding, WriteIn
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import PSI, Quantity

_K = 1 / 1.8
_ENDS: tuple[tuple[str, int, Rounding], ...] = (("least", -1, "up"), ("most", 1, "down"))
_HEATING = (
    *(f"verify.heating_{what}_{end}" for what in ("suction", "rise") for end in ("least", "most")),
    *("verify.heating_discharge", "verify.defrost_time", "verify.valve_leak_by"),
)
_CFM = 0.3048**3 / 60  # m3/s


def add(context: Context) -> None:
    """Add the verify.* entries of box, drier, air flow, controls, heating and defrost."""
    _box(context)
    _difference(context, "verify.drier_drop", "Drier, inlet less outlet", "drier-drop")
    _air_flow(context)
    _controls(context)
    _heating(context)


def _difference(context: Context, id: str, label: str, row_id: str) -> None:
    row = practice(row_id)
    value = row["band_f_diff"] * _K
    context.practice(id, label, "temperature-difference", value, row, round="down")


def _box(context: Context) -> None:
    """Box temperatures at which the superheat counts, and the time to get there."""
    store, row = context.equipment.store, practice("box-within")
    if store is None:
        for end, _, _ in _ENDS:
            reason = "the machine serves no cold store"
            context.register.wait(f"verify.box_{end}", "store.setpoint", reason)
    else:
        for end, sign, way in _ENDS:
            context.practice(
                f"verify.box_{end}",
                f"Box temperature, {end}",
                "temperature",
                store.setpoint.value + sign * row["band_f_diff"] * _K,
                row,
                round=way,
                formula="setpoint less or plus the allowed difference",
                working=f"{store.setpoint.text} {'+' if sign > 0 else '-'} {row['band_f_diff']} °F",
                inputs=(context.given("setpoint", store.setpoint, "store.setpoint"),),
            )
    label, own = "Longest pull-down to the setpoint", store.pull_down if store else None
    if own is None:
        read = "longest time to the setpoint in the maker's data"
        context.register.add(WriteIn("verify.pull_down", label, "time", read))
    else:
        _given(context, "verify.pull_down", label, "time", own, "store.pull_down", "down")


def _air_flow(context: Context) -> None:
    """Least air through the indoor coil, from the capacity on the plate."""
    row, capacity = practice("air-flow-least"), context.record.cooling_capacity
    label, unit = "Air flow, least", "cfm" if context.units == "ip" else "L/s"
    if context.equipment.use != "comfort-cooling":
        reason = "the machine cools no rooms for people"
        context.register.wait("verify.air_flow_least", "use", reason)
        return
    if capacity is None:
        read = "least air flow in the maker's data for this unit"
        context.register.add(WriteIn("verify.air_flow_least", label, "volume-flow", read))
        return
    flow = formula.least_air_flow(capacity.value, row["flow_low_cfm"] * _CFM)
    context.practice(
        "verify.air_flow_least",
        label,
        "volume-flow",
        flow,
        row,
        round="up",
        unit=unit,
        formula="cooling capacity / 12,000 Btu/h x air flow for each ton",
        working=f"{capacity.value / formula.TON:.2f} tons x {row['flow_low_cfm']} cfm"
        f" = {flow / _CFM:.0f} cfm",
        inputs=(context.given("capacity", capacity, context.key("cooling_capacity")),),
        assumption="a maker's own least air flow wins",
    )


def _controls(context: Context) -> None:
    """Where the low-pressure control must open and close, and how long a pump-down holds."""
    controls, row = context.record.controls, practice("control-within")
    source = reference.table("practice").source(row)
    own = controls.within
    within = own.value if own else row["band_psi"] * PSI
    for name, label, setting in (
        ("cut_out", "Low-pressure cut-out", controls.low_pressure_cut_out),
        ("cut_in", "Low-pressure cut-in", controls.low_pressure_cut_in),
    ):
        for end, sign, way in _ENDS:
            id, words = f"verify.{name}_{end}", f"{label}, {end}"
            if setting is None:
                read = f"{label.lower()} set on the control"
                context.register.add(WriteIn(id, words, "gauge-pressure", read))
                continue
            value = _one_side(setting.value + sign * within, setting.value)
            context.number(
                id,
                words,
                "gauge-pressure",
                value,
                round=way,
                formula="setting less or plus the allowed difference; on the setting's side of the"
                " air's pressure",
                working=f"{setting.text} {'+' if sign > 0 else '-'}"
                f" {own.text if own else str(row['band_psi']) + ' psi'}",
                inputs=(
                    context.given(
                        "setting", setting, context.key("controls", f"low_pressure_{name}")
                    ),
                ),
                source=f"equipment record; {source.text}" if own is None else "equipment record",
                confidence="given" if own else source.confidence,
            )
    hold = practice("pump-down-hold")
    context.practice(
        "verify.pump_down_hold",
        "Compressor stays off after the pump-down",
        "time",
        hold["wait_min"] * 60.0,
        hold,
    )


def _one_side(value: float, setting: float) -> float:
    """A gauge pressure kept on the same side of the air's pressure as the setting [Pa gauge]: a
    gauge shows psig above and in. Hg below, and a band has one unit."""
    if setting >= 0:
        return max(value, 0.0)
    return min(value, -0.5 * PSI, 0.0) if setting <= -0.5 * PSI else min(value, setting)


def _heating(context: Context) -> None:
    """Suction, discharge line and indoor rise in heating, and the longest defrost."""
    if all(part.kind != "reversing-valve" for part in context.plan.parts.values()):
        for id in _HEATING:
            context.register.wait(id, context.key("circuit"), "the machine is no heat pump")
        return
    label = "Reversing valve, suction side warmer by"
    _difference(context, "verify.valve_leak_by", label, "valve-leak-by")
    own, fluid = context.record.heating, context.fluid
    span = own.evaporating if own else None
    for end, _, way in _ENDS:
        id, label = f"verify.heating_suction_{end}", f"Common suction in heating, {end}"
        if span is None or fluid is None:
            read = "common suction in the maker's heating table for this outdoor air"
            context.register.add(WriteIn(id, label, "gauge-pressure", read))
            continue
        at = span.low if way == "up" else span.high
        dew = fluid.table.dew_pressure(at.value)
        where = context.key("heating", "evaporating")
        context.number(
            id,
            label,
            "gauge-pressure",
            dew - context.atmosphere,
            round=way,
            formula="dew pressure at this end of the heating range, less the air pressure here",
            working=f"{at.text}: ({dew / 1000:.1f} - {context.atmosphere / 1000:.1f}) kPa",
            inputs=(context.given("evaporating in heating", at, where),),
            source=f"equipment record; {fluid.source}",
            confidence=fluid.confidence,  # type: ignore[arg-type]
        )
    rise = own.rise if own else None
    for end, _, way in _ENDS:
        id, label = f"verify.heating_rise_{end}", f"Indoor air rise in heating, {end}"
        if rise is None:
            read = "indoor rise in the maker's heating table for this outdoor air"
            context.register.add(WriteIn(id, label, "temperature-difference", read))
            continue
        value, where = rise.low if way == "up" else rise.high, context.key("heating", "rise")
        _given(context, id, label, "temperature-difference", value, where, way)
    limit = own.discharge_limit if own else None
    _discharge(context, "verify.heating_discharge", "Discharge line in heating, hottest", limit)
    row, time = practice("defrost-time"), own.defrost_time if own else None
    id, label = "verify.defrost_time", "Longest defrost"
    if time is not None:
        _given(context, id, label, "time", time, context.key("heating", "defrost_time"), "down")
        return
    context.practice(id, label, "time", row["limit_min"] * 60.0, row, round="down")


def _discharge(context: Context, id: str, label: str, own: Quantity | None) -> None:
    """The maker's limit for this mode, else that of the compressor, else the trade's."""
    own = own or context.record.compressor.discharge_limit
    if own is not None:
        _given(context, id, label, "temperature", own, context.key("compressor"), "down")
        return
    row = practice("discharge-line")
    value = (row["temperature_f"] + 459.67) / 1.8
    context.practice(id, label, "temperature", value, row, round="down")


def discharge(context: Context) -> None:
    """Add verify.discharge_limit, the hottest discharge line in cooling."""
    _discharge(context, "verify.discharge_limit", "Discharge line, hottest", None)


def _given(
    context: Context,
    id: str,
    label: str,
    quantity: str,
    value: Quantity,
    where: str,
    way: Rounding,
) -> None:
    """A number that stands in the equipment record."""
    context.number(
        id,
        label,
        quantity,
        value.value,
        round=way,
        unit="h" if id == "verify.pull_down" else "",
        formula="as given",
        working=value.text,
        inputs=(Input(label, value.text, where),),
        source="equipment record",
        confidence="given",
    )
