"""The least and most that may be charged, and whether this kit can weigh that finely.

The band is the maker's tolerance, else a share of the charge by the kind of machine. What the scale
and the hose cannot tell is never added to it: liquid in the hose is emptied into the machine, and
where scale and hose together tell less than the band asks, the job is refused with the ways out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from packets.formatting import printed_step
from packets.formulas import charge as formula
from packets.formulas.ranges import OutOfRange
from packets.formulas.saturation import NoDensity
from packets.model.numbers import Confidence, Input, Number, Rounding, weakest
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import INCH, OUNCE, Quantity

_ENDS: tuple[tuple[str, str, int, Rounding], ...] = (
    ("charge.least", "Charged, least", -1, "up"),
    ("charge.most", "Charged, most", 1, "down"),
)


@dataclass(frozen=True)
class _Band:
    """How far a charge may be from what it should be [kg], and on what ground."""

    mass: float
    words: str
    working: str
    source: str
    confidence: Confidence


@dataclass(frozen=True)
class _ChargingHose:
    """The charging hose: bore and length [m], its words, and where they stand."""

    bore: float
    length: float
    words: str
    where: str
    assumption: str

    @property
    def volume(self) -> float:
        """Inside volume [m3]."""
        return math.pi / 4 * self.bore**2 * self.length


def add(
    context: Context, total: Number, cylinders: int, within: Quantity | None, cap: Number | None
) -> None:
    """Add charge.hose, charge.hose_left, charge.tolerance, charge.allowed, charge.least and
    charge.most; `cap` is the receiver's. Refuses a charge that this kit cannot weigh."""
    hose = _hose(context)
    _holds(context, hose)
    left = _left(context, hose, cylinders)
    error = _error(context, cylinders, left)
    band = _band(context, total, within)
    context.number(
        "charge.allowed",
        "The charge may be off by",
        "mass",
        band.mass,
        round="down",
        step=_fine_step(context),
        formula=band.words,
        working=f"{band.working} = {_fine(context, band.mass, 'down')}",
        inputs=(Input("charge", context.shown(total.value, "mass"), "charge.total"),),
        source=band.source,
        confidence=band.confidence,
    )
    if error.value > band.mass + 1e-9:
        _refuse(context, total, cylinders, error.value, left.value, band)
        return
    _ends(context, total, band, cap)


def _ends(context: Context, total: Number, band: _Band, cap: Number | None) -> None:
    """The band about the charge as the scale shows it, in the steps of start and stop weights."""
    step = context.kit.scale.resolution.value
    shown = on_scale(context, total.value)
    for id, label, sign, way in _ENDS:
        value = shown + sign * band.mass
        if sign > 0 and cap:
            value = min(value, cap.value)
        context.number(
            id,
            label,
            "mass",
            value,
            round=way,
            step=step,
            formula=f"charge as the scale shows it, {'plus' if sign > 0 else 'less'} {band.words}"
            + (", at most what the receiver may hold" if cap and sign > 0 else ""),
            working=f"{text(context, total)} {'+' if sign > 0 else '-'}"
            f" {_fine(context, band.mass, 'down')}",
            inputs=(
                Input("charge", context.shown(total.value, "mass", step=step), "charge.total"),
                Input("may be off by", _fine(context, band.mass, "down"), "charge.allowed"),
            ),
            source=band.source,
            confidence=weakest(total.confidence, band.confidence),
        )


def on_scale(context: Context, mass: float) -> float:
    """A mass as the scale shows it [kg], in the steps in which weights are printed."""
    size = printed_step("mass", context.units, context.kit.scale.resolution.value)
    return round(mass / size) * size


def _band(context: Context, total: Number, within: Quantity | None) -> _Band:
    """The maker's tolerance, else that of the kind of machine."""
    if within is not None:
        return _Band(
            within.value, "the maker's tolerance", within.text, "equipment record", "given"
        )
    receiver = any(part.kind == "receiver" for part in context.plan.parts.values())
    small = not receiver and total.value <= practice("charge-band-small")["up_to_oz"] * OUNCE
    row = practice(
        "charge-band-receiver" if receiver else "charge-band-small" if small else "charge-band"
    )
    share = f"{row['share'] * 100:g} % of the charge"
    least = row.get("least_oz", 0.0) * OUNCE
    mass = formula.charge_band(total.value, row["share"], least)
    working = f"{row['share']:g} x {_fine(context, total.value)}"
    if least:
        floor = "1 g" if small else _fine(context, least)
        share, working = f"{share} or {floor}, whichever is more", f"max({working}, {floor})"
    return _Band(mass, share, working, "common practice, no source", "practice")


def _error(context: Context, cylinders: int, left: Number) -> Number:
    """What scale and hose together leave unknown of the charge."""
    scale = context.kit.scale.resolution
    error = formula.weigh_in_uncertainty(scale.value, cylinders)
    return context.number(
        "charge.tolerance",
        "Scale and hose tell the charge within",
        "mass",
        error + left.value,
        round="up",
        step=_fine_step(context),
        formula="one step of the scale for each cylinder, half at its start and half at its stop,"
        " plus the gas that stays in the hose",
        working=f"{cylinders} x {scale.text} + {_fine(context, left.value, 'up')}",
        inputs=(
            Input("scale step", scale.text, "kit, scale.resolution"),
            Input("gas left in the hose", _fine(context, left.value, "up"), "charge.hose_left"),
        ),
        source="linear error sum",
        confidence=weakest("computed", left.confidence),
    )


def _refuse(
    context: Context, total: Number, cylinders: int, error: float, left: float, band: _Band
) -> None:
    """One finding with every way out that serves."""
    scale = context.kit.scale.resolution
    finest = (band.mass - left) / cylinders
    ways = []
    if finest > 0:
        ways.append(
            f"load a finer scale, one that shows {_grams(finest)} or less,"
            " and write its resolution into the kit"
        )
    room = band.mass - scale.value * cylinders
    if room > 0:
        ways.append(
            "load a shorter or narrower charging hose, or a fitting without a hose, and write"
            " charging_hose into the kit"
        )
    elif finest <= 0:
        ways.append("load a finer scale and a shorter or narrower charging hose")
    if cylinders > 1:
        ways.append("load one cylinder that holds the whole charge")
    ways.append(
        f"charge from a graduated charging cylinder that is read to {_grams(band.mass)} or less"
    )
    context.findings.error(
        "gauge-too-coarse",
        context.place("kit", "scale", "resolution"),
        f"the charge of {text(context, total)} must be weighed within"
        f" {_fine(context, band.mass, 'down')} ({band.words});"
        f" this scale and hose tell it within {_fine(context, error, 'up')}:"
        f" {cylinders} x {scale.text} and {_fine(context, left, 'up')} of gas that stays in the"
        " hose",
        ", or ".join(ways),
    )
    context.findings.asked.add("scale.resolution")
    for name in ("charge.least", "charge.most"):
        context.register.wait(name, "scale.resolution", "this kit cannot weigh the charge")


def text(context: Context, total: Number) -> str:
    """The charge in the words of the record where it is that alone."""
    own = context.record.charge
    step = context.kit.scale.resolution.value
    return (
        own.text
        if total.value == own.value
        else context.shown(total.value, "mass", "nearest", step)
    )


def _fine_step(context: Context) -> float:
    """Step of a small mass [kg]: finer than the scale shows it."""
    return OUNCE / 100 if context.units == "ip" else 1e-4


def _fine(context: Context, mass: float, way: Rounding = "nearest") -> str:
    """A small mass as printed, finer than the scale shows it."""
    return context.shown(mass, "mass", way, _fine_step(context))


def _grams(mass: float) -> str:
    """A scale's step in both units, rounded down: no scale that is a little too coarse."""
    ounces = math.floor(mass / OUNCE * 100 + 1e-6) / 100
    return f"{ounces:g} oz ({math.floor(mass * 1e4 + 1e-6) / 10:g} g)"


def _hose(context: Context) -> _ChargingHose:
    own = context.kit.charging_hose
    if own is not None:
        return _ChargingHose(
            own.bore.value,
            own.length.value,
            f"{own.bore.text} x {own.length.text}",
            "kit, charging_hose",
            "",
        )
    row = practice("charging-hose")
    bore, length = row["bore_in"] * INCH, row["length_in"] * INCH
    words = f"{row['bore_in']:g} in x {row['length_in']:g} in"
    if context.units == "si":
        words = f"{bore * 1000:.1f} mm x {length * 1000:.0f} mm"
    return _ChargingHose(
        bore,
        length,
        words,
        "common practice, no source",
        f"the kit names no charging_hose: one of {words} is taken",
    )


def _holds(context: Context, hose: _ChargingHose) -> None:
    """What the hose holds when the cylinder is shut: it is emptied into the machine."""
    gas = context.hookups.charging_side == "low"
    outdoor = context.job.conditions.outdoor
    density = _density(context, outdoor.value, gas)
    mass = density * hose.volume
    filled = f"{'gas' if gas else 'liquid'} at {context.shown(outdoor.value, 'temperature')}"
    row = practice("charging-hose")
    context.practice(
        "charge.hose",
        "Full, the charging hose holds",
        "mass",
        mass,
        row,
        round="up",
        step=context.kit.scale.resolution.value,
        formula="bore² x pi / 4 x length x density of what fills it",
        working=f"{hose.words} of {filled}, {density:.0f} kg/m³ = {_fine(context, mass)}",
        inputs=(
            Input("charging hose", hose.words, hose.where),
            context.given("outdoors", outdoor, "job, conditions.outdoor"),
        ),
        assumption=_and(
            hose.assumption,
            "emptied into the machine after the cylinder is shut; it is part of the charge",
            "" if density else "no density is known, so the hose is left out",
        ),
    )


def _left(context: Context, hose: _ChargingHose, cylinders: int) -> Number:
    """Gas that the hose keeps once its liquid is in the machine [kg], once for each cylinder:
    nobody can tell how much of it there is."""
    outdoor = context.job.conditions.outdoor
    density = _density(context, outdoor.value, True)
    mass = density * hose.volume * cylinders
    return context.practice(
        "charge.hose_left",
        "Gas that stays in the charging hose, at most",
        "mass",
        mass,
        practice("charging-hose"),
        round="up",
        step=_fine_step(context),
        formula="bore² x pi / 4 x length x density of gas, once for each cylinder",
        working=f"{cylinders} x {hose.words} of gas at"
        f" {context.shown(outdoor.value, 'temperature')}, {density:.1f} kg/m³"
        f" = {_fine(context, mass)}",
        inputs=(
            Input("charging hose", hose.words, hose.where),
            context.given("outdoors", outdoor, "job, conditions.outdoor"),
        ),
        assumption=_and(
            hose.assumption,
            "the hose is empty at the start, the cylinder is shut first, and the liquid in the hose"
            " is then emptied into the machine",
            "" if density else "no density is known, so the hose is left out",
        ),
    )


def _and(*parts: str) -> str:
    return "; ".join(part for part in parts if part)


def _density(context: Context, kelvin: float, gas: bool) -> float:
    """Density of saturated gas or liquid [kg/m3]; 0 where it is not known."""
    if context.fluid is None:
        return 0.0
    table = context.fluid.table
    try:
        return (table.vapor_density if gas else table.liquid_density)(kelvin)
    except (NoDensity, OutOfRange):
        return 0.0
