"""The charge: how much, from which cylinder, what the scale shows at start and stop."""

from __future__ import annotations

from dataclasses import dataclass

from packets.findings import suggest
from packets.formulas import charge as formula
from packets.model.kit import ChargingCylinder
from packets.model.numbers import Number, Words, weakest
from packets.numbers import charge_band, charge_parts, receiver
from packets.numbers.charge_parts import ChargeParts, Part
from packets.numbers.context import Context
from packets.quantities import Quantity
from packets.saturation_data import same_name

_DRAWN = (
    "charge.cylinder",
    "charge.tolerance",
    "charge.allowed",
    "charge.hose",
    "charge.hose_left",
    "charge.least",
    "charge.most",
)
# Parts that a job may add to a circuit that does not draw them.
_PARTS = ("drier", "suction-drier", "accumulator", "receiver")


@dataclass(frozen=True)
class Draw:
    """What one charging cylinder gives: weights in kg."""

    cylinder: ChargingCylinder
    start: float
    stop: float
    takes: float


def add(context: Context) -> tuple[Draw, ...]:
    """Add the charge.* entries; returns the cylinders in the order they are drawn from."""
    parts = charge_parts.of(context)
    _full(context, parts)
    _form(context)
    if parts.missing is not None:
        for name in ("charge.total", *_DRAWN):
            context.register.wait(name, *parts.missing)
        return ()
    _names(context)
    limit = receiver.add(context, parts.total)
    total = _total(context, parts)
    weighed = charge_band.on_scale(context, total.value)
    if limit is not None and max(total.value, weighed) > limit.value:
        context.findings.error(
            "overcharge",
            context.record_place("charge"),
            f"the charge is {charge_band.text(context, total)}, the receiver may hold"
            f" {context.shown(limit.value, 'mass', 'down', context.kit.scale.resolution.value)}",
            "check charge and receiver volume; a charge that does not fit is not pumped down",
        )
        limit = None
    return _cylinders(context, total, context.record.charge_within, limit)


def _names(context: Context) -> None:
    """A volume given to a part that is none would be passed over, and so would a line set beside a
    recorded charge."""
    known = {*context.plan.parts, *_PARTS}
    for name in context.record.part_volumes:
        if name not in known:
            context.findings.error(
                "part-name",
                context.record_place("part_volumes", name),
                f"the circuit has no part {name!r}",
                suggest(name, known),
            )
    if context.record.line_set is not None and context.record.charge_from == "recorded":
        context.findings.warn(
            "line-set-unused",
            context.record_place("line_set"),
            "a recorded charge already holds its lines; the line set is not added",
            "leave line_set out, or write charge_from: nameplate",
        )


def _full(context: Context, parts: ChargeParts) -> None:
    """What the machine holds when full, before any new part."""
    lines = parts.lines
    context.number(
        "machine.charge",
        f"Full charge, {context.record.charge_from}" + (" and line set" if lines else ""),
        "mass",
        parts.full,
        step=context.kit.scale.resolution.value,
        formula=" + ".join([parts.given.formula, *(["line set beyond it"] if lines else [])]),
        working=_sum(context, [p for p in (parts.given, lines) if p], parts.full),
        inputs=parts.given.inputs,
        source=parts.given.source + (f"; {lines.source}" if lines else ""),
        confidence=weakest(parts.given.confidence, *((lines.confidence,) if lines else ())),
        assumption=lines.assumption if lines else "",
    )


def _form(context: Context) -> None:
    if context.fluid is None:
        context.register.wait("charge.form", context.key("refrigerant"), "its glide is not known")
        return
    blend = len(context.fluid.composition) != 1
    low = context.hookups.charging_side == "low"
    form = "as vapor" if low else "as liquid"
    if blend:
        form += ", drawn as liquid and throttled at the cylinder" if low else ""
        why = "a blend: drawn as vapor it changes its make-up"
    else:
        why = "one fluid"
    why += "; liquid on the low side slugs the compressor" if low else "; the port is not low side"
    context.register.add(Words("charge.form", "Draw from the cylinder", form, why))


def _total(context: Context, parts: ChargeParts) -> Number:
    """The parts of the charge, each with its reasoning, and their sum."""
    for part in (*((parts.lines,) if parts.lines else ()), *parts.new):
        context.number(
            part.id,
            part.label,
            "mass",
            part.mass,
            formula=part.formula,
            working=part.working,
            inputs=part.inputs,
            source=part.source,
            confidence=part.confidence,
            assumption=part.assumption,
        )
    named = ["line set"] if parts.lines else []
    named += ["new parts"] if parts.new else []
    return context.number(
        "charge.total",
        "Charge" + (f" with {' and '.join(named)}" if named else ""),
        "mass",
        parts.total,
        step=context.kit.scale.resolution.value,
        formula=" + ".join(
            [parts.given.formula, *(f"{p.label[0].lower()}{p.label[1:]}" for p in parts.parts[1:])]
        ),
        working=_sum(context, list(parts.parts), parts.total),
        inputs=tuple(item for part in parts.parts for item in part.inputs),
        source="; ".join(dict.fromkeys(part.source for part in parts.parts)),
        confidence=weakest(*(part.confidence for part in parts.parts)),
        assumption="; ".join(part.assumption for part in parts.parts if part.assumption),
    )


def _sum(context: Context, parts: list[Part], total: float) -> str:
    first = context.record.charge.text
    if len(parts) == 1:
        return first
    rest = [context.shown(part.mass, "mass") for part in parts[1:]]
    return f"{' + '.join([first, *rest])} = {context.shown(total, 'mass')}"


def _cylinders(
    context: Context, total: Number, within: Quantity | None, cap: Number | None
) -> tuple[Draw, ...]:
    kit, refrigerant = context.kit, context.record.refrigerant
    right = sorted(
        (c for c in kit.charging_cylinders if c.refrigerant == refrigerant),
        key=lambda c: (-_free(c), c.id),
    )
    drawn = formula.draw_in_order(total.value, [_free(c) for c in right], 0.0)
    if drawn.short_by > 0:
        have = context.shown(sum(_free(c) for c in right), "mass", "down")
        marked = {c.refrigerant for c in kit.charging_cylinders} - {refrigerant}
        slip = ", ".join(sorted(name for name in marked if same_name(name, refrigerant)))
        context.findings.error(
            "charge-short",
            context.place("kit", "charging_cylinders"),
            f"the charge is {charge_band.text(context, total)} of {refrigerant},"
            f" the kit has {have} above its heels",
            f"write refrigerant: {refrigerant} instead of {slip}, or load another cylinder"
            if slip
            else "load another cylinder and write it into the kit",
        )
        context.findings.asked.add("charging_cylinders")
        for name in _DRAWN:
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
    charge_band.add(context, total, len(draws), within, cap)
    return tuple(draws)


def _free(cylinder: ChargingCylinder) -> float:
    """What a cylinder can give above its heel [kg]."""
    heel = cylinder.heel.value if cylinder.heel else 0.0
    return max(cylinder.gross.value - cylinder.tare.value - heel, 0.0)
