"""Recovery: how long it takes, which cylinders are filled, and the weight to stop each at."""

from __future__ import annotations

from dataclasses import dataclass
from typing import cast

from packets.formulas import cylinders
from packets.formulas import recovery as rule
from packets.formulas.ranges import OutOfRange
from packets.model.kit import RecoveryCylinder
from packets.model.numbers import Confidence, Number, Words, weakest
from packets.numbers import charge_parts, recovery_level
from packets.numbers.context import Context, no_sooner_step
from packets.numbers.machine import practice
from packets.saturation_data import SaturationData, same_name

_K_131F = (131 + 459.67) / 1.8
_K_77F = (77 + 459.67) / 1.8
# Of a charge with a receiver most comes as liquid; half is a planning figure on the slow side.
_LIQUID_SHARE = 0.5


@dataclass(frozen=True)
class Filling:
    """One recovery cylinder of this job: weights in kg."""

    cylinder: RecoveryCylinder
    start: float
    stop: float
    takes: float


def add(context: Context) -> tuple[Filling, ...]:
    """Add the recovery.* entries; returns the cylinders in the order they are filled."""
    recovery_level.add(context)
    _time(context)
    _short(context)
    if "removes-refrigerant" in context.acts:
        return _cylinders(context)
    for name in ("recovery.cylinder", "recovery.room"):
        context.register.wait(name, "now.circuits", "nothing is recovered in this job")
    return ()


def _time(context: Context) -> None:
    machine = context.kit.recovery_machine
    liquid = machine.liquid_rate or machine.vapor_rate
    share = _LIQUID_SHARE if machine.liquid_rate else 0.0
    full = charge_parts.of(context).full
    seconds = rule.recovery_time(full, share, liquid.value, machine.vapor_rate.value)
    inputs = [
        recovery_level.full_charge(context),
        context.given("vapor rate", machine.vapor_rate, "kit, recovery_machine.vapor_rate"),
    ]
    if machine.liquid_rate:
        inputs.append(
            context.given("liquid rate", machine.liquid_rate, "kit, recovery_machine.liquid_rate")
        )
    context.number(
        "recovery.time",
        "Recovery takes no less than",
        "time",
        seconds,
        round="down",
        step=no_sooner_step(seconds),
        formula="half the charge at the liquid rate and half at the vapor rate"
        if machine.liquid_rate
        else "the charge at the vapor rate",
        working=f"{charge_parts.full_text(context)}: {seconds / 60:.1f} min",
        inputs=tuple(inputs),
        source="the machine's rated rates",
        confidence="computed",
        assumption="half comes as liquid; cold oil and long hoses make it slower"
        if machine.liquid_rate
        else "no liquid rate is stated; cold oil and long hoses make it slower",
    )


def _short(context: Context) -> None:
    """The weight under which what came out is too little: a minimum, rounded up."""
    row = practice("recovered-short")
    full = recovery_level.full_charge(context)
    context.practice(
        "recovery.short",
        "Recovered, look for a leak under",
        "mass",
        row["share"] * charge_parts.of(context).full,
        row,
        round="up",
        step=context.kit.scale.resolution.value,
        formula="this share of the full charge",
        working=f"{row['share']:g} x {full.value}",
        inputs=(full,),
    )


def _gravity(context: Context, fluid: SaturationData) -> Number | None:
    """Specific gravity of the liquid at 77 °F: the record's own, else by the table's density."""
    own = context.record.specific_gravity
    if own is not None:
        return context.number(
            "recovery.gravity",
            "Specific gravity at 77 °F",
            "ratio",
            own.value,
            unit="%",
            round="down",
            formula="as given",
            working=own.text,
            inputs=(context.given("specific gravity", own, context.key("specific_gravity")),),
            source="equipment record",
            confidence="given",
        )
    try:
        gravity = cylinders.specific_gravity(fluid.table.liquid_density(_K_77F))
    except ValueError:
        return None
    return context.number(
        "recovery.gravity",
        "Specific gravity at 77 °F",
        "ratio",
        gravity,
        unit="%",
        round="down",
        formula="liquid density at 77 °F / density of water at 77 °F",
        working=f"{gravity * 997.05:.1f} / 997.05 = {gravity:.3f}",
        source=f"AHRI Guideline K; density {fluid.source}",
        confidence=weakest("computed", cast(Confidence, fluid.confidence)),
    )


def _cylinders(context: Context) -> tuple[Filling, ...]:
    register, fluid = context.register, context.fluid
    needs = ("recovery.cylinder", "recovery.room", "recovery.gravity")
    if fluid is None:
        for name in needs:
            register.wait(name, context.key("chart"), "no saturation data for this refrigerant")
        return ()
    found = _gravity(context, fluid)
    if found is None:
        why = "a chart has no liquid density, and the fill limit goes by it"
        for name in needs:
            register.wait(name, context.key("specific_gravity"), why)
        return ()
    gravity = found.value
    usable = [
        (room, cylinder)
        for cylinder in context.kit.recovery_cylinders
        if not why_not(context, cylinder, fluid_pressure_131(context))
        and (room := min(room_in(cylinder, gravity), _scale_room(context, cylinder))) > 0
    ]
    # Fewest cylinders; between equals the one marked first.
    usable.sort(key=lambda pair: (-round(pair[0], 3), pair[1].id))
    full = charge_parts.of(context).full
    filled = cylinders.fill_in_order(full, [room for room, _ in usable])
    if not usable or filled.left_over > 0:
        _too_little_room(context, gravity)
        register.wait(
            "recovery.cylinder", "recovery_cylinders", "not enough room in the kit's cylinders"
        )
        register.wait(
            "recovery.room", "recovery_cylinders", "not enough room in the kit's cylinders"
        )
        return ()
    fillings = []
    for (_, cylinder), takes in zip(usable, filled.into_each, strict=True):
        if takes > 0:
            full = cylinders.max_net_mass(cylinder.water_capacity.value, gravity)
            stop = min(
                cylinders.gross_stop(full, cylinder.tare.value), context.kit.scale.capacity.value
            )
            start = cylinder.tare.value + cylinder.contents.value
            fillings.append(Filling(cylinder, start, stop, takes))
    register.add(
        Words(
            "recovery.cylinder",
            "Recovery cylinder",
            ", ".join(f.cylinder.id for f in fillings),
            "kit",
        )
    )
    room = sum(filling.stop - filling.start for filling in fillings)
    context.number(
        "recovery.room",
        "Room in the recovery cylinders",
        "mass",
        room,
        round="down",
        step=context.kit.scale.resolution.value,
        formula="0.8 x water capacity x specific gravity at 77 °F, less the contents",
        working="; ".join(
            f"{f.cylinder.id}: 0.8 x {f.cylinder.water_capacity.text} x {gravity:.3f}"
            f" - {f.cylinder.contents.text} = {context.shown(f.stop - f.start, 'mass', 'down')}"
            + (", where the scale ends" if f.stop >= context.kit.scale.capacity.value else "")
            for f in fillings
        ),
        inputs=tuple(
            context.given(f.cylinder.id, f.cylinder.water_capacity, "kit, water_capacity")
            for f in fillings
        ),
        source="AHRI Guideline K (2004 on)",
        confidence=weakest("seen", found.confidence),
    )
    return tuple(fillings)


def fluid_pressure_131(context: Context) -> float | None:
    """Gauge pressure of the liquid at 131 °F [Pa], or None where the table does not reach."""
    assert context.fluid is not None
    try:
        return context.fluid.table.bubble_pressure(_K_131F) - 101325.0
    except OutOfRange:
        return None


def room_in(cylinder: RecoveryCylinder, gravity: float) -> float:
    """Room left in a cylinder [kg]."""
    full = cylinders.max_net_mass(cylinder.water_capacity.value, gravity)
    return cylinders.room_left(full, cylinder.contents.value)


def _scale_room(context: Context, cylinder: RecoveryCylinder) -> float:
    """What the scale still carries with the cylinder on it [kg]."""
    return context.kit.scale.capacity.value - cylinder.tare.value - cylinder.contents.value


def why_not(context: Context, cylinder: RecoveryCylinder, pressure_131: float | None) -> str:
    """Why this job's refrigerant may not go into a cylinder; "" when it may."""
    empty = cylinder.contents.value == 0
    if cylinder.retest_by < context.day:
        return f"its retest was due {cylinder.retest_by.isoformat()}"
    if pressure_131 is None:
        return "the pressure at 131 °F is not known"
    if not cylinders.rating_covers(pressure_131, cylinder.rating.value):
        return f"rated {cylinder.rating.text}, too low for {context.record.refrigerant} at 131 °F"
    if context.flammable and not cylinder.left_hand:
        return "its valve is not the left-hand one of flammable gas"
    if context.burnt and not (empty and cylinder.evacuated):
        return "burnt refrigerant needs an empty, evacuated cylinder of its own"
    if empty and not cylinder.evacuated and cylinder.holds not in ("", context.record.refrigerant):
        if same_name(cylinder.holds, context.record.refrigerant):
            return _holds(context, cylinder)
        return f"empty but not evacuated, it held {cylinder.holds}"
    if not empty and cylinder.holds != context.record.refrigerant:
        return _holds(context, cylinder)
    return ""


def _holds(context: Context, cylinder: RecoveryCylinder) -> str:
    """What is wrong with what a cylinder is said to hold; a slip of the pen says what to write."""
    ours, held = context.record.refrigerant, cylinder.holds
    if not held:
        return (
            f"it has {cylinder.contents.text} in it and does not say of what: write holds: {ours}"
            " if it is that"
        )
    if same_name(held, ours):
        return f"holds says {held}: write holds: {ours}"
    return f"it holds {held}"


def _too_little_room(context: Context, gravity: float) -> None:
    """One finding that says of each cylinder why it does not serve, and mends that."""
    pressure, ours = fluid_pressure_131(context), context.record.refrigerant
    why, room, by_pen, by_scale = [], 0.0, False, False
    for cylinder in context.kit.recovery_cylinders:
        reason = why_not(context, cylinder, pressure)
        holds, carries = room_in(cylinder, gravity), _scale_room(context, cylinder)
        if reason:
            by_pen = by_pen or "write holds" in reason
        else:
            usable = max(min(holds, carries), 0.0)
            room += usable
            reason = f"room for {context.shown(usable, 'mass', 'down')}"
            if carries < holds:
                by_scale = True
                reason += (
                    f", for the scale carries {context.kit.scale.capacity.text} at most; by itself"
                    f" it has room for {context.shown(max(holds, 0.0), 'mass', 'down')}"
                )
        why.append(f"{cylinder.id}: {reason}")
    kind = "an empty, evacuated cylinder" if context.burnt else "a cylinder"
    fixes = ["write what each holds"] if by_pen else []
    fixes += ["load a larger scale"] if by_scale else []
    fixes += [f"load {kind} with enough room and write it into the kit"]
    context.findings.asked.add("recovery_cylinders")
    context.findings.error(
        "cylinder-room",
        context.place("kit", "recovery_cylinders"),
        f"{charge_parts.full_text(context)} of {ours} is to be recovered, the kit has room for"
        f" {context.shown(room, 'mass', 'down')} of it ({'; '.join(why) or 'no cylinder'})",
        ", or ".join(fixes),
    )
