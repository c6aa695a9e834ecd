"""How much nitrogen the job uses, whether the kit's cylinders can give it, and which are loaded.

Counted are the purge of the whole system, the purge and the low flow at each joint and stub for the
minutes that the packet prints, the fill of the pressure hold, the breaks of the vacuum, and one
refill: a leak found in the hold takes a second fill, and a flame at one joint before it.

A cylinder gives a fill only down to the hold pressure and what the regulator needs above it, and a
purge down to what a purge needs. The draws are made in the order of work.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass

from packets.formulas import nitrogen
from packets.formulas.nitrogen_store import Draw, Store, short
from packets.model.kit import NitrogenCylinder
from packets.model.numbers import Input, Number, Words
from packets.numbers import purge_whole
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.numbers.purge import JointPlan
from packets.numbers.sweeps import SCFH, Sweep
from packets.numbers.volume import InternalVolume, internal_volume
from packets.quantities import CUBIC_FOOT, PSI


@dataclass(frozen=True)
class Flames:
    """Nitrogen at the joints brazed and the stubs unbrazed [m3 standard], and how many they are."""

    gas: float
    count: int
    largest: float


def add(
    context: Context,
    hold: Number | None,
    breaks: int,
    joints: tuple[JointPlan, ...] = (),
    stubs: Mapping[str, Sweep | None] | None = None,
) -> None:
    """Add nitrogen.needed, nitrogen.keep and nitrogen.cylinders; check that the kit has it."""
    volume = internal_volume(context)
    if volume is None:
        return
    brazed = [plan.sweep for plan in joints if plan.joint.kind == "brazed"]
    flames = _flames([*brazed, *(stubs or {}).values()])
    # Where the low side's limit is only read on site, load for the most it could be.
    fill = hold.value if hold else context.record.design_pressure.high.value
    draws = _draws(context, volume, fill, breaks, flames)
    needed = _needed(context, volume, draws, flames, len(brazed), bool(hold))
    _judge(context, needed, draws)
    _cylinders(context, draws)
    _keep(context, draws)


def _flames(ways: list[Sweep | None]) -> Flames:
    """Each flame: nitrogen while the joint is opened, purged, and brazed."""
    row = practice("joint-gas")
    low = practice("braze-trickle")["flow_high_scfh"] * SCFH
    each = [
        (way.gas + way.flow.value * row["open_min"] * 60.0 if way else 0.0)
        + low * row["braze_min"] * 60.0
        for way in ways
    ]
    return Flames(sum(each), len(each), max(each, default=0.0))


def _draws(
    context: Context, volume: InternalVolume, fill: float, breaks: int, flames: Flames
) -> list[Draw]:
    """The uses in the order of work, each with the cylinder pressure that it needs."""
    air, outdoor = context.atmosphere, context.job.conditions.outdoor.value
    drop = practice("regulator-drop")["pressure_psi"] * PSI
    cycle = context.register.number("purge.cycle_pressure")
    delivered = cycle.value if cycle else practice("purge-delivery")["pressure_psig"] * PSI
    low, high = air + delivered + drop, air + fill + drop
    entry = context.register.number("evac.break_pressure")
    break_pressure = entry.value if entry else 0.0
    whole = purge_whole.gas_of_whole(context, volume)
    # Cleared of a flammable refrigerant it is purged twice, with a vacuum between that nitrogen
    # fills again.
    twice = "frees-of-fuel" in context.acts
    again = whole + nitrogen.standard_volume(volume.most, air, outdoor) if twice else 0.0
    filled = nitrogen.fill_gas(volume.most, air, air + fill, outdoor)
    broken = breaks * nitrogen.standard_volume(volume.most, air + break_pressure, outdoor)
    draws = [
        Draw("purge", whole + again, low),
        Draw("joints", flames.gas, low),
        Draw("fill", filled, high),
        Draw("repair of one joint", flames.largest, low),
        Draw("refill", filled, high),
        Draw("breaks", broken, low),
    ]
    return [draw for draw in draws if draw.gas]


def _needed(
    context: Context,
    volume: InternalVolume,
    draws: list[Draw],
    flames: Flames,
    brazed: int,
    told: bool,
) -> Number:
    row = practice("joint-gas")
    total = sum(draw.gas for draw in draws)
    words = " + ".join(f"{draw.name} {draw.gas / CUBIC_FOOT:.1f}" for draw in draws)
    return context.number(
        "nitrogen.needed",
        "Nitrogen this job uses",
        "volume",
        total,
        round="up",
        formula="purge + purge and low flow at each joint and stub heated + fill to the hold"
        " pressure + one repair and refill + nitrogen breaks",
        working=f"{words} = {total / CUBIC_FOOT:.1f} ft³ at standard conditions",
        inputs=(
            volume.input,
            Input("purges of the whole", "2" if "frees-of-fuel" in context.acts else "1", "plan"),
            Input("joints brazed", str(brazed), "plan"),
            Input("stubs unbrazed", str(flames.count - brazed), "plan"),
        ),
        source="gas law; flows by common practice, no source",
        confidence="practice",
        assumption=f"{row['open_min']} min at the purge flow and {row['braze_min']} min at the low"
        " flow for each joint or stub"
        + ("" if told else "; filled to the high side's design pressure"),
    )


def _store(context: Context, one: NitrogenCylinder) -> Store:
    air = context.atmosphere
    return Store(one.volume.value, one.full_pressure.value + air, one.pressure.value + air)


def _judge(context: Context, needed: Number, draws: list[Draw]) -> None:
    """A finding for the uses that the kit's cylinders cannot make."""
    lacking = short([_store(context, one) for one in context.kit.nitrogen], draws)
    if not lacking:
        return
    told = [
        f"the {draw.name} lacks {context.shown(lack, 'volume', 'up')} above"
        f" {context.shown(draw.floor - context.atmosphere, 'gauge-pressure', 'up')}"
        for draw, lack in lacking
    ]
    context.findings.error(
        "nitrogen-short",
        context.place("kit", "nitrogen"),
        f"The job uses {context.shown(needed.value, 'volume', 'up')} of nitrogen. A cylinder gives"
        f" gas only above the pressure that its use and the regulator need: {', '.join(told)}",
        "load another cylinder and write it into the kit",
    )


def _cylinders(context: Context, draws: list[Draw]) -> None:
    """The fewest of the kit's cylinders, fullest first, that can make all uses."""
    fullest = sorted(
        context.kit.nitrogen, key=lambda one: _store(context, one).content, reverse=True
    )
    taken = fullest
    for count in range(1, len(fullest) + 1):
        if not short([_store(context, one) for one in fullest[:count]], draws):
            taken = fullest[:count]
            break
    # Cylinders go by whole cubic feet or litres.
    step = CUBIC_FOOT if context.units == "ip" else 1e-3
    shown = Counter(context.shown(one.volume.value, "volume", step=step) for one in taken)
    words = (f"{count} cylinder{'s' if count > 1 else ''} of {of}" for of, count in shown.items())
    context.register.add(
        Words("nitrogen.cylinders", "Nitrogen to load", " and ".join(words), "kit")
    )


def _keep(context: Context, draws: list[Draw]) -> None:
    """What the cylinder must still read before the hold is filled: the fill, and the hold pressure
    and the regulator above it at the end."""
    name = "nitrogen.keep"
    (fill,) = (draw for draw in draws if draw.name == "fill")
    stores = [_store(context, one) for one in context.kit.nitrogen]
    if not stores:
        context.register.wait(name, "nitrogen", "the kit lists no nitrogen")
        return
    fullest = max(stores, key=lambda one: one.content)
    least = fullest.pressure_for(fill.gas, fill.floor)
    if least > fullest.full_pressure:
        context.register.wait(name, "nitrogen", "no single cylinder can make the fill")
        return
    drop, gas = practice("regulator-drop")["pressure_psi"], f"{fill.gas / CUBIC_FOOT:.1f} ft³"
    context.number(
        name,
        "Nitrogen cylinder before the fill, at least",
        "gauge-pressure",
        least - context.atmosphere,
        round="up",
        step=10 * PSI if context.units == "ip" else 1e5,
        formula="hold pressure + what the regulator needs + fill x full pressure / full content",
        working=f"{(fill.floor - context.atmosphere) / PSI:.0f} psig + {gas} x"
        f" {fullest.full_pressure / PSI:.0f} psia / {fullest.full_content / CUBIC_FOOT:.0f} ft³",
        inputs=(Input("fill", gas, "nitrogen.needed"),),
        source=f"gas law; {drop} psi above the regulator's outlet by common practice, no source",
        confidence="practice",
        assumption="the kit's fullest cylinder",
    )
