"""The charge: how much, from which cylinder, what the scale shows at start and stop."""

from __future__ import annotations

from dataclasses import dataclass

from packets.formulas import charge as formula
from packets.model.kit import ChargingCylinder
from packets.model.numbers import Input, Words
from packets.numbers.context import Context


@dataclass(frozen=True)
class Draw:
    """What one charging cylinder gives: weights in kg."""

    cylinder: ChargingCylinder
    start: float
    stop: float
    takes: float


def add(context: Context) -> tuple[Draw, ...]:
    """Add the charge.* entries; returns the cylinders in the order they are drawn from."""
    record, scale = context.record, context.kit.scale
    total = record.charge.value
    context.number(
        "charge.total",
        "Charge",
        "mass",
        total,
        round="nearest",
        step=scale.resolution.value,
        formula=f"the {record.charge_from} charge",
        working=record.charge.text,
        inputs=(context.given("charge", record.charge, context.key("charge")),),
        source=f"equipment record, {record.charge_from} charge",
        confidence="given",
    )
    blend = context.fluid is not None and len(context.fluid.composition) != 1
    form = "as liquid" if blend else "as liquid or vapor"
    why = "a blend: drawn as vapor it changes its make-up" if blend else "one fluid"
    if context.fluid is None:
        context.register.wait("charge.form", context.key("refrigerant"), "its glide is not known")
    else:
        context.register.add(Words("charge.form", "Draw from the cylinder", form, why))
    return _cylinders(context, total)


def _cylinders(context: Context, total: float) -> tuple[Draw, ...]:
    kit, refrigerant = context.kit, context.record.refrigerant
    right = sorted(
        (c for c in kit.charging_cylinders if c.refrigerant == refrigerant),
        key=lambda c: (-_free(c), c.id),
    )
    drawn = formula.draw_in_order(total, [_free(c) for c in right], 0.0)
    if drawn.short_by > 0:
        have = context.shown(sum(_free(c) for c in right), "mass", "down")
        context.findings.error(
            "charge-short",
            context.place("kit", "charging_cylinders"),
            f"the charge is {context.record.charge.text} of {refrigerant},"
            f" the kit has {have} above its heels",
            "load another cylinder and write it into the kit",
        )
        for name in ("charge.cylinder", "charge.tolerance", "charge.least", "charge.most"):
            context.register.wait(
                name, "charging_cylinders", f"not enough {refrigerant} in the kit"
            )
        return ()
    draws = [
        Draw(c, c.gross.value, formula.scale_stop(c.gross.value, takes), takes)
        for c, takes in zip(right, drawn.from_each, strict=True)
        if takes > 0
    ]
    for draw in draws:
        if draw.start > kit.scale.capacity.value:
            context.findings.error(
                "scale-capacity",
                context.place("kit", "scale", "capacity"),
                f"{draw.cylinder.id} weighs {draw.cylinder.gross.text}, the scale carries less",
                "load a larger scale",
            )
    context.register.add(
        Words(
            "charge.cylinder", "Charging cylinder", ", ".join(d.cylinder.id for d in draws), "kit"
        )
    )
    error = formula.weigh_in_uncertainty(kit.scale.resolution.value, len(draws))
    context.number(
        "charge.tolerance",
        "The scale tells the charge within",
        "mass",
        error,
        round="up",
        step=kit.scale.resolution.value,
        formula="start and stop of each cylinder are each known to half a step of the scale",
        working=f"{len(draws)} cylinder(s), step {kit.scale.resolution.text}",
        inputs=(Input("scale step", kit.scale.resolution.text, "kit, scale.resolution"),),
        source="linear error sum",
        confidence="computed",
    )
    for id, label, sign, way in (
        ("charge.least", "Charged, least", -1, "up"),
        ("charge.most", "Charged, most", 1, "down"),
    ):
        context.number(
            id,
            label,
            "mass",
            total + sign * error,
            round="up" if way == "up" else "down",
            step=kit.scale.resolution.value,
            formula="charge less or plus what the scale can tell",
            working=f"{context.record.charge.text} {'+' if sign > 0 else '-'} scale error",
            source="linear error sum",
            confidence="computed",
        )
    return tuple(draws)


def _free(cylinder: ChargingCylinder) -> float:
    """What a cylinder can give above its heel [kg]."""
    heel = cylinder.heel.value if cylinder.heel else 0.0
    return max(cylinder.gross.value - cylinder.tare.value - heel, 0.0)
