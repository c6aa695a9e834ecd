"""Recovery: the level the rules ask, as the local gauge shows it; cylinders, their stop weights."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import cast

from packets.formatting import show
from packets.formulas import cylinders
from packets.formulas import recovery as rule
from packets.formulas.ranges import OutOfRange
from packets.model.kit import RecoveryCylinder
from packets.model.limits import Limit
from packets.model.numbers import Confidence, Input, Words, WriteIn, weakest
from packets.numbers import charge_parts
from packets.numbers.context import Context

_NEW_MACHINE = date(1993, 11, 15)
_K_104F = (104 + 459.67) / 1.8
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
    _level(context)
    _time(context)
    if "removes-refrigerant" in context.acts:
        return _cylinders(context)
    for name in ("recovery.cylinder", "recovery.room"):
        context.register.wait(name, "now.circuits", "nothing is recovered in this job")
    return ()


def _level(context: Context) -> None:
    if context.rules.recovery.table == "ask":
        _asked_level(context)
        return
    record, made = context.record, context.kit.recovery_machine.made
    new = made >= _NEW_MACHINE
    column = "on or after" if new else "before"
    inputs = (
        context.given("full charge", record.charge, context.key("charge")),
        Input("recovery machine made", made.isoformat(), "kit, recovery_machine.made"),
        Input(
            "air pressure",
            context.shown(context.atmosphere, "absolute-pressure"),
            "site.atmosphere",
        ),
    )
    source, confidence = "40 CFR 82.156(a) Table 1", "seen"
    if record.small_appliance:
        level, category = rule.SMALL_APPLIANCE_LEVEL, "small appliance"
        source, confidence = "40 CFR 82.156(b), 4 in. Hg (from memory)", "memory"
    else:
        found = _category(context)
        if found is None:
            for name in ("recovery.level", "recovery.level_absolute", "recovery.level_words"):
                context.register.wait(
                    name, context.key("refrigerant"), "its pressure category is not known"
                )
            return
        category = found
        level = rule.required_level(category, charge_parts.of(context).full, new)
    local = rule.reading_before_opening(level, context.atmosphere)
    context.register.add(
        Words("recovery.level_words", "Recover to", _level_words(context, local), source)
    )
    context.number(
        "recovery.level_absolute",
        "Recovery level, absolute",
        "absolute-pressure",
        level,
        round="down",
        formula=f"Table 1: {category}, full charge {charge_parts.full_text(context)},"
        f" machine made {column} 15 Nov 1993",
        working=f"{level / 1000:.1f} kPa absolute",
        inputs=inputs,
        source=source,
        confidence=confidence,  # type: ignore[arg-type]
    )
    context.number(
        "recovery.level",
        "Recover to",
        "gauge-pressure",
        local,
        round="down",
        formula="absolute level less the air pressure here, and never above 0 gauge",
        working=f"min({level / 1000:.1f} - {context.atmosphere / 1000:.1f}, 0)"
        f" = {local / 1000:.1f} kPa",
        inputs=inputs,
        source=source,
        confidence=confidence,  # type: ignore[arg-type]
    )


def _asked_level(context: Context) -> None:
    """The rules file names no level: it is asked for, and written in on site."""
    read = context.rules.recovery.ask or "recovery level of the rules in force at the site"
    for id, kind in (
        ("recovery.level", "gauge-pressure"),
        ("recovery.level_words", "gauge-pressure"),
        ("recovery.level_absolute", "absolute-pressure"),
    ):
        context.register.add(WriteIn(id, "Recover to", kind, read))


def _level_words(context: Context, level: float) -> str:
    """The level as read on a gauge: 0 psig or less, 10 in. Hg vacuum or deeper."""
    shown = show(level, "gauge-pressure", context.units, "down")
    return Limit("at_most", shown.unit, high=shown.value).text()


def _category(context: Context) -> str | None:
    """Pressure category: what the rule names, else what its definition computes to."""
    row = context.refrigerant_row
    if row is not None and "epa_category" in row:
        return str(row["epa_category"]["value"])
    if context.fluid is None:
        return None
    try:
        pressure = context.fluid.table.bubble_pressure(_K_104F)
    except OutOfRange:
        return (
            rule.pressure_category(None) if context.fluid.critical_temperature < _K_104F else None
        )
    if rule.near_category_limit(pressure):
        context.findings.warn(
            "category-near-limit",
            context.record_place("refrigerant"),
            f"{context.record.refrigerant} lies on a limit of the recovery table's categories",
            "confirm its category with the agency; the deeper level of the two is printed",
        )
        # The category below a limit never asks for less: high pressure asks no less than very high.
        return rule.pressure_category(pressure * 0.98)
    return rule.pressure_category(pressure)


def _time(context: Context) -> None:
    machine, record = context.kit.recovery_machine, context.record
    liquid = machine.liquid_rate or machine.vapor_rate
    share = _LIQUID_SHARE if machine.liquid_rate else 0.0
    full = charge_parts.of(context).full
    seconds = rule.recovery_time(full, share, liquid.value, machine.vapor_rate.value)
    inputs = [
        context.given("full charge", record.charge, context.key("charge")),
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
        round="up",
        formula="half the charge at the liquid rate and half at the vapor rate"
        if machine.liquid_rate
        else "the charge at the vapor rate",
        working=f"{charge_parts.full_text(context)}: {seconds / 60:.0f} min",
        inputs=tuple(inputs),
        source="the machine's rated rates",
        confidence="computed",
        assumption="half comes as liquid; cold oil and long hoses make it slower",
    )


def _cylinders(context: Context) -> tuple[Filling, ...]:
    register, fluid = context.register, context.fluid
    needs = ("recovery.cylinder", "recovery.room", "recovery.gravity")
    if fluid is None:
        for name in needs:
            register.wait(name, context.key("chart"), "no saturation data for this refrigerant")
        return ()
    try:
        gravity = cylinders.specific_gravity(fluid.table.liquid_density(_K_77F))
    except ValueError:
        for name in needs:
            register.wait(name, context.key("refrigerant"), "no liquid density at 77 °F")
        return ()
    context.number(
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
            for f in fillings
        ),
        inputs=tuple(
            context.given(f.cylinder.id, f.cylinder.water_capacity, "kit, water_capacity")
            for f in fillings
        ),
        source="AHRI Guideline K (2004 on)",
        confidence="seen",
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
        return f"empty but not evacuated, it held {cylinder.holds}"
    if not empty and cylinder.holds != context.record.refrigerant:
        return f"it holds {cylinder.holds or 'something not named'}"
    return ""


def _too_little_room(context: Context, gravity: float) -> None:
    """One finding that says of each cylinder why it does not serve."""
    pressure = fluid_pressure_131(context)
    why = []
    for cylinder in context.kit.recovery_cylinders:
        room = context.shown(max(room_in(cylinder, gravity), 0.0), "mass", "down")
        reason = why_not(context, cylinder, pressure) or f"room for {room}"
        why.append(f"{cylinder.id}: {reason}")
    kind = "an empty, evacuated cylinder" if context.burnt else "a cylinder"
    context.findings.error(
        "cylinder-room",
        context.place("kit", "recovery_cylinders"),
        f"no room for {charge_parts.full_text(context)} of {context.record.refrigerant}"
        f" ({'; '.join(why) or 'no cylinder'})",
        f"load {kind} with enough room and write it into the kit",
    )
