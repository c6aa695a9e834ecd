"""The figures that a filled packet is judged from, taken from the numbers as they were printed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from packets import numbers
from packets.formatting import printed_step
from packets.formulas.ranges import OutOfRange
from packets.model.basis import (
    Basis,
    CheckRule,
    CircuitBasis,
    CoverRule,
    CylinderBasis,
    DueRule,
    KeepRule,
    RiseBasis,
    RulesBasis,
    SaturationPoint,
    TriggerRule,
)
from packets.model.procedures import Rules
from packets.numbers import charge_parts
from packets.numbers.context import Context

# Gauge pressures of the saturation points [Pa]: even steps in temperature, this many.
_POINTS = 40


def basis(circuits: Mapping[str, tuple[Context, numbers.Lists]], use: str, rules: Rules) -> Basis:
    """What the packet carries for its way back."""
    made = tuple(_circuit(*circuits[name], rules) for name in sorted(circuits))
    return Basis(use, made, _rules(rules))


def _circuit(context: Context, lists: numbers.Lists, rules: Rules) -> CircuitBasis:
    record, kit, row = context.record, context.kit, context.refrigerant_row
    gauge, thermometer = kit.gauges.pressure.resolution, kit.gauges.thermometer.resolution
    parts = set(row["composition_percent"]) if row else {record.refrigerant}
    held = context.register.number("hold.time")
    return CircuitBasis(
        circuit=context.circuit,
        refrigerant=record.refrigerant,
        full_charge=_short(charge_parts.of(context).full),
        charge_from=record.charge_from,
        atmosphere=_short(context.atmosphere),
        scale_step=_short(printed_step("mass", context.units, kit.scale.resolution.value)),
        pressure_step=_short(gauge.value) if gauge else 0.0,
        temperature_step=_short(thermometer.value) if thermometer else 0.0,
        warming=_warming(row),
        ozone_depleting=bool(parts & set(rules.leak_rate.ozone_depleting)),
        hermetic=record.small_appliance,
        rise=_rise(context),
        hold_time=held.value if held else 0.0,
        cylinders=_cylinders(context, lists),
        saturation=_saturation(context),
    )


def _warming(row: Mapping[str, Any] | None) -> float:
    """Global warming potential of a refrigerant's row by AR4, which the rules name; by AR5 where
    AR4 lists none, and 0 without either."""
    group = row.get("gwp", {}) if row else {}
    listed = [group[edition] for edition in ("ar4", "ar5") if group.get(edition) is not None]
    return float(listed[0]) if listed else 0.0


def _rise(context: Context) -> RiseBasis | None:
    coldest, limit, wait = (
        context.register.number(name)
        for name in ("evac.coldest", "evac.rise_limit", "evac.rise_time")
    )
    if coldest is None or limit is None or wait is None:
        return None
    return RiseBasis(_short(coldest.value), _short(limit.value), _short(wait.value))


def _cylinders(context: Context, lists: numbers.Lists) -> tuple[CylinderBasis, ...]:
    filled = [
        CylinderBasis(
            one.cylinder.id,
            "recovery",
            one.cylinder.holds,
            _short(one.cylinder.tare.value),
            _short(one.cylinder.contents.value),
            _short(one.start),
            _short(one.stop),
            one.cylinder.as_of.isoformat(),
        )
        for one in lists.recovery
    ]
    drawn = [
        CylinderBasis(
            one.cylinder.id,
            "charging",
            one.cylinder.refrigerant,
            _short(one.cylinder.tare.value),
            _short(one.cylinder.gross.value - one.cylinder.tare.value),
            _short(one.start),
            _short(one.stop),
        )
        for one in lists.charging
    ]
    return (*filled, *drawn)


def _saturation(context: Context) -> tuple[SaturationPoint, ...]:
    """Points of the refrigerant's table, close enough for straight lines between them."""
    if context.fluid is None:
        return ()
    table = context.fluid.table
    low = max(table.low, 233.15)
    points = []
    for at in range(_POINTS + 1):
        temperature = low + (table.high - low) * at / _POINTS
        try:
            pressure = table.dew_pressure(temperature)
            point = SaturationPoint(
                _short(pressure - context.atmosphere),
                _short(table.bubble_temperature(pressure)),
                _short(temperature),
            )
        except OutOfRange:
            continue
        points.append(point)
    return tuple(points)


def _rules(rules: Rules) -> RulesBasis:
    leak = rules.leak_rate
    covers = []
    if leak.threshold_charge is not None:
        covers.append(CoverRule("ozone-depleting", _short(leak.threshold_charge.value)))
    if leak.hfc_threshold_charge is not None:
        covers.append(CoverRule("hfc", _short(leak.hfc_threshold_charge.value)))
    return RulesBasis(
        keep=tuple(
            KeepRule(r.what, r.keep, r.keep_years, r.source, r.confidence) for r in rules.records
        ),
        due=tuple(
            DueRule(d.what, d.when, d.within, d.days, d.source, d.confidence, d.next_year_on)
            for d in rules.deadlines
        ),
        covers=tuple(covers),
        triggers=tuple(TriggerRule(use, rate.value) for use, rate in leak.triggers.items()),
        least_warming=float(leak.hfc_warming_above),
        checks=tuple(CheckRule(c.from_tonnes, c.months) for c in rules.leak_checks),
        notes=leak.notes,
        ask=rules.ask,
        source=leak.source,
        confidence=leak.confidence,
    )


def _short(value: float) -> float:
    """Nine digits: what any instrument can tell, and the same on every machine."""
    return float(f"{value:.9g}")
