"""What water does in the vacuum: where it boils at the target, where it levels a rise."""

from __future__ import annotations

from packets.formulas.rise import water_levels
from packets.formulas.water import boiling_temperature, saturation_pressure
from packets.model.numbers import Input
from packets.numbers.context import Context
from packets.quantities import MICRON, Quantity

_IAPWS = "IAPWS R14-08(2011) for ice, SR1-86(1992) for water"


def coldest(context: Context) -> tuple[Quantity, str]:
    """Temperature of the coldest part during the stand, and the key it comes from.

    A machine that serves a cold store has its coldest part there, or in winter outdoors.
    """
    equipment, outdoor = context.equipment, context.job.conditions.outdoor
    store = equipment.store
    outside = equipment.space.kind != "indoor" and store and outdoor.value < store.coldest.value
    if store is None or outside:
        return outdoor, "job, conditions.outdoor"
    return store.coldest, "equipment record, store.coldest"


def add(context: Context) -> None:
    """Add evac.water_* and evac.coldest. At the target water must boil at the coldest part."""
    cold, where = coldest(context)
    _boils(context, cold)
    context.number(
        "evac.coldest",
        "Coldest part",
        "temperature",
        cold.value,
        round="down",
        formula="as given",
        working=cold.text,
        inputs=(context.given("coldest", cold, where),),
        source=where,
        confidence="given",
    )
    context.number(
        "evac.water_plateau",
        "Water at the coldest part levels the rise at",
        "vacuum",
        saturation_pressure(cold.value),
        formula="saturation pressure of water or ice at the coldest part",
        working=f"{cold.text} -> {saturation_pressure(cold.value):.0f} Pa",
        inputs=(context.given("coldest", cold, where),),
        source=_IAPWS,
        confidence="computed",
        step=10 * MICRON,
    )
    low, high = water_levels(cold.value)
    # Inwards: a level between the printed ones is water to the judge too.
    for id, label, value, way in (
        ("evac.water_low", "Water levels the rise at no less than", low, "up"),
        ("evac.water_high", "Water levels the rise at no more than", high, "down"),
    ):
        context.number(
            id,
            label,
            "vacuum",
            value,
            round="up" if way == "up" else "down",
            step=10 * MICRON,
            to="gauges.micron",
            formula="saturation pressure at the coldest part, 2 K off, and a factor 1.3 for the"
            " gauge's scale; the same on any altitude",
            working=f"{cold.text} -> {value:.0f} Pa",
            inputs=(context.given("coldest", cold, where),),
            source=f"{_IAPWS}; the margins are common practice, no source",
            confidence="practice",
        )


def _boils(context: Context, cold: Quantity) -> None:
    target = context.register.number("evac.target")
    assert target is not None
    boils = boiling_temperature(target.value)
    context.number(
        "evac.water_boils",
        "Water boils (ice sublimes) at the target at",
        "temperature",
        boils,
        round="up",
        formula="saturation temperature of water or ice at the target pressure",
        working=f"{target.value:.1f} Pa -> {boils - 273.15:.1f} °C",
        inputs=(Input("target", context.shown(target.value, "vacuum"), "evac.target"),),
        source=_IAPWS,
        confidence="computed",
    )
    low = water_levels(cold.value)[0]
    if boils >= cold.value or target.value >= low:
        what = (
            f"water does not boil at the coldest part, {cold.text}"
            if boils >= cold.value
            else f"water on the coldest part, {cold.text}, may stay unseen: it can level at"
            f" {context.shown(low, 'vacuum', 'down')}"
        )
        context.findings.error(
            "evacuation-target",
            context.record_place("evacuation"),
            f"at {context.shown(target.value, 'vacuum')} {what}",
            "ask the maker for a deeper target, or warm the cold part",
        )
