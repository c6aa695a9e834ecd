"""A flammable charge against its room, and concentration limits; nothing for other machines.

The limits are those of IEC 60335-2-40 for air conditioners and heat pumps. The machine's own
label and the code in force govern, and what passes here is not thereby allowed.
"""

from __future__ import annotations

from dataclasses import dataclass

from packets import reference
from packets.formatting import printed_step
from packets.formulas import flammables as formula
from packets.model.equipment import Room
from packets.model.numbers import Confidence, Input, Words, WriteIn, weakest
from packets.numbers import charge_parts
from packets.numbers.context import Context

_STANDARD = "IEC 60335-2-40:2018 Annex GG"
_NOT_FLAMMABLE = ("A1", "B1")
_ROOM = ("flammable.room_charge", "flammable.least_area")
_ALL = ("flammable.class", "flammable.lfl", "flammable.m1", "flammable.m2", "flammable.m3", *_ROOM)


@dataclass(frozen=True)
class _Limit:
    """Lower flammable limit [kg/m3], with its basis."""

    value: float
    basis: str
    source: str
    confidence: Confidence


def add(context: Context) -> None:
    """Add the flammable.* entries of a flammable refrigerant, and room.* where a limit is known."""
    _concentration(context)
    row = context.refrigerant_row
    if row is not None and row["safety_class"] == "A3" and "heats" in context.acts:
        _flame(context)
    if row is None or row["safety_class"] in _NOT_FLAMMABLE:
        why = "the refrigerant is not flammable, or its class is not known"
        for name in _ALL:
            context.register.wait(name, context.key("refrigerant"), why)
        return
    group = row.get("lfl")
    if group is None:
        for name in _ALL:
            context.register.wait(name, context.key("refrigerant"), "its limit is not listed")
        context.findings.warn(
            "flammable-limit",
            context.record_place("refrigerant"),
            f"{context.record.refrigerant} is class {row['safety_class']},"
            " its lower flammable limit is not listed here",
            "read it from its safety sheet and compare the charge with the machine's label",
        )
        return
    source = reference.table("refrigerants").source(group)
    lfl = _Limit(group["value_kg_per_m3"], group["basis"], source.text, source.confidence)
    safety = str(row["safety_class"])
    context.register.add(
        Words("flammable.class", "Flammability", f"class {safety}", "refrigerant table")
    )
    context.number(
        "flammable.lfl",
        "Burns in air from",
        "concentration",
        lfl.value,
        round="down",
        formula="lower flammable limit as listed",
        working=f"{lfl.value} kg/m³, {lfl.basis}",
        source=f"{lfl.source}: {lfl.basis}",
        confidence=lfl.confidence,
    )
    if context.equipment.use != "comfort-cooling":
        _other_standard(context)
        return
    limits = _limits(context, lfl, mild=safety.endswith("2L"))
    _room(context, lfl)
    _judge(context, limits)


def _flame(context: Context) -> None:
    """No flame on a class A3 machine: its joints are pressed, or its tube is pinched cold (work
    practice, no source)."""
    context.findings.error(
        "flammable-flame",
        context.place("job", "work"),
        f"The plan lights a flame on {context.record.refrigerant} (class A3)."
        " No procedure here covers a flame on that class.",
        "Have it done without a flame, with press joints listed for this refrigerant,"
        " by a crew trained for class A3.",
    )


def _other_standard(context: Context) -> None:
    """A machine that the standard does not cover: its limits are not printed, a blank is."""
    why = f"charge limits of {_STANDARD} hold for air conditioners and heat pumps, not for this"
    for name in _ALL[2:]:
        context.register.wait(name, "use", why)
    context.register.add(
        WriteIn(
            "flammable.room_charge",
            "Largest charge for the room",
            "mass",
            "by the machine's label and its own standard",
        )
    )
    context.findings.warn(
        "flammable-standard",
        context.record_place("charge"),
        why,
        "compare the charge with the machine's own standard and label, and write the limit down",
    )


def _limits(context: Context, lfl: _Limit, mild: bool) -> tuple[float, float, float]:
    limits = formula.charge_limits(lfl.value, mild)
    factors = formula.MILD_FACTORS if mild else formula.GENERAL_FACTORS
    for name, label, factor, value in zip(
        ("m1", "m2", "m3"),
        ("No room limit up to", "By room area up to", "Most with more measures"),
        factors,
        limits,
        strict=True,
    ):
        seen: Confidence = "seen" if mild and name == "m1" else "memory"
        context.number(
            f"flammable.{name}",
            label,
            "mass",
            value,
            round="down",
            formula=f"{factor:g} m³ x lower flammable limit",
            working=f"{factor:g} x {lfl.value} = {value:.2f} kg",
            inputs=(Input("lower flammable limit", f"{lfl.value} kg/m³", "flammable.lfl"),),
            source=f"{_STANDARD}, factor {'seen by number' if seen == 'seen' else 'from memory'}",
            confidence=weakest(seen, lfl.confidence),
        )
    return limits


def _room(context: Context, lfl: _Limit) -> None:
    """Largest charge for the room, and the least room for the charge."""
    room = context.equipment.space.room
    if room is None:
        for name in _ROOM:
            context.register.wait(name, "space.room", "the room it could leak into is not stated")
        return
    if room.install_height is None:
        for name in _ROOM:
            context.register.wait(
                name, "space.room.install_height", "the unit's height in the room is not stated"
            )
        return
    height = _height(room)
    words = f"2.5 x {lfl.value}^1.25 x {height:.2f} m"
    inputs = (
        context.given("floor area", room.area, "space.room.area"),
        context.given("unit's height", room.install_height, "space.room.install_height"),
        Input("lower flammable limit", f"{lfl.value} kg/m³", "flammable.lfl"),
    )
    largest = formula.largest_charge(lfl.value, height, room.area.value)
    context.number(
        "flammable.room_charge",
        "Largest charge for the room",
        "mass",
        largest,
        round="down",
        formula="2.5 LFL^1.25 h0 A^0.5, at most 0.75 LFL h0 A; h0 at least 0.6 m",
        working=f"{words} x {room.area.value:.1f}^0.5 = {largest:.2f} kg",
        inputs=inputs,
        source=f"{_STANDARD} GG.2",
        confidence=weakest("seen", lfl.confidence),
        assumption="a closed room without ventilation of its own",
    )
    charge = _printed_charge(context)
    least = formula.least_area(charge, lfl.value, height)
    context.number(
        "flammable.least_area",
        "Least floor for the charge",
        "area",
        least,
        round="up",
        formula="(m / (2.5 LFL^1.25 h0))^2, at least m / (0.75 LFL h0)",
        working=f"({charge:.2f} kg / ({words}))^2 = {least:.1f} m²",
        inputs=(
            *inputs,
            Input("charge as printed", context.shown(charge, "mass"), "charge.total"),
        ),
        source=f"{_STANDARD} GG.2",
        confidence=weakest("seen", lfl.confidence),
    )


def _printed_charge(context: Context) -> float:
    """The charge as the packet prints it for the label: the total with line set and new parts, in
    the scale's step [kg]."""
    total = charge_parts.of(context).total
    step = printed_step("mass", context.units, context.kit.scale.resolution.value)
    return round(total / step) * step if step else total


def _height(room: Room) -> float:
    assert room.install_height is not None
    offset = room.release_offset.value if room.release_offset else 0.0
    return formula.release_height(room.install_height.value, offset)


def _judge(context: Context, limits: tuple[float, float, float]) -> None:
    """What the manager must hear before the van leaves."""
    charge, (free, _, most) = _printed_charge(context), limits
    place = context.record_place("charge")
    shown = context.shown(charge, "mass")
    if charge > most:
        context.findings.error(
            "flammable-charge",
            place,
            f"{shown} is more than {_STANDARD} covers, {context.shown(most, 'mass', 'down')}",
            "check the charge; the manager and the authority decide",
        )
        return
    if charge <= free:
        return
    allowed = context.register.number("flammable.room_charge")
    if allowed is None:
        context.findings.warn(
            "flammable-room",
            context.place("equipment", "space"),
            f"{shown} needs a room limit above {context.shown(free, 'mass', 'down')};"
            f" {context.register.waiting['flammable.room_charge'].why}",
            "write space.room: {area: ..., install_height: ...}",
        )
    elif charge > allowed.value:
        context.findings.error(
            "flammable-charge",
            context.place("equipment", "space", "room"),
            f"{shown} is more than the room allows, {context.shown(allowed.value, 'mass', 'down')}",
            "check area and height with the label; the manager and the authority decide",
        )


def _concentration(context: Context) -> None:
    """Charge that reaches the concentration limit in the room, for any refrigerant."""
    row, room = context.refrigerant_row, context.equipment.space.room
    name = "room.concentration_charge"
    if room is None or room.height is None:
        context.register.wait(name, "space.room.height", "the room's volume is not stated")
        return
    group = row.get("rcl", {}) if row else {}
    if "value_g_per_m3" not in group:
        why = "the refrigerant's limit is read from the edition of ASHRAE 34 in force"
        context.register.wait(name, context.key("refrigerant"), why)
        return
    source = reference.table("refrigerants").source(group)
    limit, volume = group["value_g_per_m3"] / 1000, room.area.value * room.height.value
    most = formula.concentration_limit_charge(volume, limit)
    context.number(
        name,
        "Charge that fills the room to its limit",
        "mass",
        most,
        round="down",
        formula="concentration limit x floor area x height",
        working=f"{limit:g} kg/m³ x {volume:.1f} m³ = {most:.2f} kg",
        inputs=(
            context.given("floor area", room.area, "space.room.area"),
            context.given("height", room.height, "space.room.height"),
        ),
        source=source.text,
        confidence=weakest("computed", source.confidence),
    )
    charge = _printed_charge(context)
    if charge > most:
        context.findings.warn(
            "concentration-limit",
            context.place("equipment", "space", "room"),
            f"all of {context.shown(charge, 'mass')} in the room passes its concentration limit,"
            f" reached at {context.shown(most, 'mass', 'down')}",
            "air the room, wear an oxygen meter; manager and authority decide",
        )
