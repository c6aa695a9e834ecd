"""A receiver's part in the charge: what it may hold, and what its circuit's parts add up to."""

from __future__ import annotations

from packets.formulas import charge as formula
from packets.formulas.saturation import NoDensity
from packets.model.numbers import Number
from packets.numbers.charge_parts import line_set, tube_bore
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import Quantity

# How far a charge may lie from the sum of its parts before somebody should look again.
_FAR = 0.10


def add(context: Context, total: float) -> Number | None:
    """Add charge.receiver_limit and charge.by_parts; returns the limit, where one is known."""
    if not any(part.kind == "receiver" for part in context.plan.parts.values()):
        return None
    _by_parts(context, total)
    return _limit(context)


def _limit(context: Context) -> Number | None:
    new = context.parts.receiver
    volume = new.volume if new else context.record.part_volumes.get("receiver")
    if volume is None:
        key = context.key("part_volumes", "receiver")
        context.register.wait("charge.receiver_limit", key, "the receiver's volume is not stated")
        return None
    row, warmest = practice("receiver-filled"), _warmest(context)
    density = _liquid(context, warmest)
    if density is None:
        key = context.key("chart")
        context.register.wait("charge.receiver_limit", key, "the liquid's density is not known")
        return None
    most = formula.receiver_capacity(volume.value, density, row["share"])
    return context.practice(
        "charge.receiver_limit",
        "Most the receiver may hold",
        "mass",
        most,
        row,
        round="down",
        step=context.kit.scale.resolution.value,
        formula="filled share x receiver volume x liquid density at the warmest",
        working=f"{row['share']} x {volume.text} x {density:.0f} kg/m³"
        f" = {context.shown(most, 'mass', 'down')}",
        inputs=(context.given("receiver volume", volume, "record or job, receiver volume"),),
        assumption=f"warmest at {context.shown(warmest, 'temperature')}; the whole charge must fit"
        " into the receiver when pumped down",
    )


def _warmest(context: Context) -> float:
    """Warmest the receiver gets [K]: highest condensing temperature or the hottest pipe."""
    span, hottest = context.record.condensing, context.job.conditions.hottest_pipe.value
    return max(span.high.value, hottest) if span else hottest


def _liquid(context: Context, kelvin: float) -> float | None:
    if context.fluid is None:
        return None
    try:
        return context.fluid.table.liquid_density(kelvin)
    except NoDensity:
        return None


def _by_parts(context: Context, total: float) -> None:
    """Evaporator + condenser + liquid line + receiver's minimum + winter flooding."""
    held = context.record.receiver_charge
    if held is None:
        return
    named: list[tuple[str, Quantity]] = [
        ("evaporator", held.evaporator),
        ("condenser", held.condenser),
        ("receiver minimum", held.receiver_minimum),
    ]
    if held.flooding is not None:
        named.append(("winter flooding", held.flooding))
    masses = [quantity.value for _, quantity in named]
    words = [f"{name} {quantity.text}" for name, quantity in named]
    liquid = _in_liquid_line(context)
    if liquid:
        masses.append(liquid)
        words.append(f"liquid line {context.shown(liquid, 'mass')}")
    by_parts = formula.total_charge(masses)
    context.number(
        "charge.by_parts",
        "Charge by its parts",
        "mass",
        by_parts,
        formula="evaporator + condenser + liquid line + receiver's minimum + winter flooding",
        working=f"{' + '.join(words)} = {context.shown(by_parts, 'mass')}",
        inputs=tuple(
            context.given(name, quantity, context.key("receiver_charge"))
            for name, quantity in named
        ),
        source="common practice, no source; masses from the equipment record",
        confidence="practice",
    )
    if abs(total - by_parts) > _FAR * by_parts:
        context.findings.warn(
            "charge-parts",
            context.record_place("receiver_charge"),
            f"the charge is {context.shown(total, 'mass')}, its parts add up to"
            f" {context.shown(by_parts, 'mass')}",
            "check the recorded charge against the parts before it is weighed in",
        )


def _in_liquid_line(context: Context) -> float:
    """What the liquid line holds [kg]; 0 where it is not known."""
    line = line_set(context)
    bore = tube_bore(line.size.value) if line else None
    kelvin = (practice("liquid-line-temperature")["temperature_f"] + 459.67) / 1.8
    density = _liquid(context, kelvin)
    if line is None or bore is None or density is None:
        return 0.0
    return formula.mass_in_tube(bore, line.length.value, density)
