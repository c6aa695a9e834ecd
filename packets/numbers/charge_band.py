"""The least and most that may be charged: the maker's tolerance, or what can be known on site."""

from __future__ import annotations

import math

from packets.formatting import printed_step
from packets.formulas import charge as formula
from packets.formulas.ranges import OutOfRange
from packets.formulas.saturation import NoDensity
from packets.model.numbers import Input, Number, Rounding, weakest
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.quantities import INCH, OUNCE, Quantity

_ENDS: tuple[tuple[str, str, int, Rounding], ...] = (
    ("charge.least", "Charged, least", -1, "up"),
    ("charge.most", "Charged, most", 1, "down"),
)


def add(
    context: Context, total: Number, cylinders: int, within: Quantity | None, cap: Number | None
) -> None:
    """Add charge.tolerance, charge.hose, charge.least and charge.most; `cap` is the receiver's.

    Without a maker's tolerance nobody is asked to mend less than the scale and the hand at the
    valve can tell and the hose holds: it is still full when the cylinder is closed.
    """
    scale = context.kit.scale
    error = formula.weigh_in_uncertainty(scale.resolution.value, cylinders)
    context.number(
        "charge.tolerance",
        "The scale tells the charge within",
        "mass",
        error,
        round="up",
        step=scale.resolution.value,
        formula="start and stop of each cylinder are each known to half a step of the scale",
        working=f"{cylinders} cylinder(s) x {scale.resolution.text}",
        inputs=(Input("scale step", scale.resolution.text, "kit, scale.resolution"),),
        source="linear error sum",
        confidence="computed",
    )
    if within is not None and within.value < error:
        context.findings.error(
            "gauge-too-coarse",
            context.place("kit", "scale", "resolution"),
            f"the maker asks for the charge within {within.text}, this scale tells it within"
            f" {context.shown(error, 'mass', 'up')}",
            "load a finer scale and write its resolution into the kit",
        )
    hose = _hose(context)
    row = practice("charging-scale")
    told = max(error, row["within_oz"] * OUNCE)
    step = printed_step("mass", context.units, scale.resolution.value)
    allowed, words, source = max(told + hose.value, step), "what can be told", hose.source
    if within is not None:
        allowed, words, source = within.value, "the maker's tolerance", "equipment record"
    # The stop is read on the scale, so the band lies about the charge as the scale shows it, in
    # the steps in which start and stop are printed: an ounce's half is no round part of a kg.
    shown = round(total.value / step) * step
    parts = f"({_fine(context, told)} + {_fine(context, hose.value)})"
    for id, label, sign, way in _ENDS:
        value = shown + sign * allowed
        if sign > 0:
            value = min(value, cap.value) if cap else value
        context.number(
            id,
            label,
            "mass",
            value,
            round=way,
            step=scale.resolution.value,
            formula=f"charge as the scale shows it, less or plus {words}"
            + ("" if within else ": scale and hand at the valve, and the full hose")
            + (", at most what the receiver may hold" if cap and sign > 0 else ""),
            working=f"{text(context, total)} {'+' if sign > 0 else '-'} "
            + (within.text if within else parts),
            inputs=(Input("charge", context.shown(total.value, "mass"), "charge.total"),),
            source=source,
            confidence=weakest(total.confidence, "given" if within else hose.confidence),
        )


def text(context: Context, total: Number) -> str:
    """The charge in the words of the record where it is that alone."""
    own = context.record.charge
    return own.text if total.value == own.value else context.shown(total.value, "mass")


def _fine(context: Context, mass: float) -> str:
    """A small mass as printed, finer than the scale shows it."""
    return context.shown(mass, "mass", step=OUNCE / 10 if context.units == "ip" else 1e-3)


def _hose(context: Context) -> Number:
    """What the charging hose holds once the cylinder is closed: full of liquid, or of gas where the
    charge goes in as vapor."""
    row = practice("charging-hose")
    bore, length = row["bore_in"] * INCH, row["length_in"] * INCH
    vapor = context.hookups.charging_side == "low"
    outdoor = context.job.conditions.outdoor
    density = 0.0
    try:
        if context.fluid is not None:
            table = context.fluid.table
            density = (table.vapor_density if vapor else table.liquid_density)(outdoor.value)
    except (NoDensity, OutOfRange):
        pass
    mass = density * math.pi / 4 * bore**2 * length
    filled = f"{'gas' if vapor else 'liquid'} at {context.shown(outdoor.value, 'temperature')}"
    return context.practice(
        "charge.hose",
        "The charging hose holds",
        "mass",
        mass,
        row,
        round="up",
        step=context.kit.scale.resolution.value,
        formula="bore² x pi / 4 x length x density of what fills it",
        working=f"{row['bore_in']:g} in x {row['length_in']:g} in of {filled},"
        f" {density:.0f} kg/m³ = {_fine(context, mass)}",
        inputs=(context.given("outdoors", outdoor, "job, conditions.outdoor"),),
        assumption="" if density else "no density is known, so the hose is left out",
    )
