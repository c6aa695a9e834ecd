"""How long the pull takes through the planned hook-up, and through one small hose.

Gas alone, "no sooner than": water and gas out of oil are left out of the times, and put by
practice into the minutes that the timeline plans.
"""

from __future__ import annotations

import math
from typing import Any

from packets.formulas.conductance import NITROGEN
from packets.formulas.pump_down import time_to
from packets.model.numbers import Input, Number, Words
from packets.numbers import vacuum_hookup
from packets.numbers.context import Context, no_sooner_step
from packets.numbers.evacuation_table import row, source
from packets.numbers.vacuum_hookup import HookUp
from packets.numbers.volume import InternalVolume, internal_volume, wait_for_volume

_LITER = 1e-3
_LEFT_OUT = "water, gas out of oil and surfaces, the machine's own pipes and the hoses' volume"


def add(context: Context) -> None:
    """Add the hook-ups, evac.pump_time*, evac.small_hose_time and evac.pull_wait*."""
    pumped = context.hookups.evacuation.pumped
    cored = sum(use.core_out for use in pumped)
    hook_up = vacuum_hookup.planned(
        context.kit, max(1, len(pumped)), context.units, cored if pumped else None
    )
    small = vacuum_hookup.small(context.kit, context.units, cored > 0)
    for id, label, one in (
        ("evac.hook_up", "Vacuum hoses", hook_up),
        ("evac.small_hose", "A small hose, to show them beside", small),
    ):
        context.register.add(Words(id, label, one.words, "kit" if one is hook_up else "practice"))
    _hoses(context)
    volume = internal_volume(context)
    if volume is None:
        wait_for_volume(
            context,
            "evac.pump_time",
            "evac.pump_time_first",
            "evac.small_hose_time",
            "evac.pull_wait",
            "evac.pull_wait_first",
        )
        return
    if _too_weak(context):
        return
    label = "Pull takes no less than"
    first = _time(context, "evac.pump_time_first", label, "first_pull", hook_up, volume)
    whole = _time(context, "evac.pump_time", label, "target", hook_up, volume)
    _time(context, "evac.small_hose_time", f"The same: {small.words}", "target", small, volume)
    _wait(context, "evac.pull_wait_first", first, row("water-break"))
    _wait(context, "evac.pull_wait", whole, _water_row(context, volume))


def _hoses(context: Context) -> None:
    """The steps pull from both sides at once."""
    hoses = context.kit.vacuum_hoses
    if len(hoses) < vacuum_hookup.PORTS:
        context.findings.warn(
            "vacuum-hoses",
            context.place("kit", "vacuum_hoses"),
            f"the steps pull from both sides, the kit has {len(hoses)} vacuum hose",
            "load two, wide and short",
        )


def _too_weak(context: Context) -> bool:
    """Whether the pump cannot pass its own blank-off, or pull the machine down."""
    asked = {name: context.register.number(f"evac.{name}") for name in ("blank_off", "target")}
    least = min((n for n in asked.values() if n), key=lambda number: number.value)
    ultimate = context.kit.vacuum_pump.ultimate
    if ultimate.value < least.value:
        return False
    # What the times would have been is missing, not unknown.
    context.register.broken = True
    context.findings.error(
        "pump-too-weak",
        context.place("kit", "vacuum_pump", "ultimate"),
        f"a pump that ends at {ultimate.text} never reaches the"
        f" {context.shown(least.value, 'vacuum', 'down')} of {least.id}",
        "load a pump with a lower ultimate, or renew its oil and measure it again",
    )
    return True


def _time(
    context: Context, id: str, label: str, target: str, hook_up: HookUp, volume: InternalVolume
) -> Number:
    """Time of one pull from nitrogen at the air's pressure, gas alone."""
    goal = context.register.number(f"evac.{target}")
    assert goal is not None
    outdoor = context.job.conditions.outdoor
    seconds = _seconds(context, hook_up, volume.least, goal.value)
    pump = context.kit.vacuum_pump
    return context.number(
        id,
        label,
        "time",
        seconds,
        round="down",
        step=no_sooner_step(seconds),
        formula="V dp/dt = - flow through ports, hoses and pump, from the air's pressure down",
        working=f"{volume.text} from {context.atmosphere / 1000:.1f} kPa to {goal.value:.0f} Pa,"
        f" {hook_up.words}, pump {pump.displacement.text}: {seconds / 60:.2f} min",
        inputs=(
            volume.input,
            context.given("pump", pump.displacement, "kit, vacuum_pump.displacement"),
            context.given("ultimate", pump.ultimate, "kit, vacuum_pump.ultimate"),
            Input("hook-up", hook_up.words, "kit"),
            Input("to", context.shown(goal.value, "vacuum", "down"), goal.id),
            context.given("gas at", outdoor, "job, conditions.outdoor"),
        ),
        source="Knudsen's formula from viscous to molecular flow (from memory); the bore of port"
        " and core is assumed, no source",
        confidence="practice",
        assumption=f"no sooner than: left out are {_LEFT_OUT}",
    )


def _seconds(context: Context, hook_up: HookUp, volume: float, target: float) -> float:
    outdoor = context.job.conditions.outdoor.value
    return time_to(
        hook_up.pump,
        hook_up.network,
        volume,
        context.atmosphere,
        target,
        temperature=outdoor,
        gas=NITROGEN,
    )


def _water_row(context: Context, volume: InternalVolume) -> dict[str, Any]:
    """The allowance for the last pull: a small clean unit is done soon, all others are not."""
    small = row("water-small")
    if not context.burnt and volume.most <= small["up_to_l"] * _LITER:
        return small
    return row("water-larger")


def _wait(context: Context, id: str, gas: Number, allowance: dict[str, Any]) -> None:
    """Minutes the timeline plans for a pull."""
    alone = round(gas.value / 60, 1)
    minutes = math.ceil(alone + allowance["added_min"])
    told = source(allowance)
    context.number(
        id,
        "Planned for the pull",
        "time",
        minutes * 60.0,
        round="up",
        formula="time that gas alone takes + an allowance for water and gas out of oil",
        working=f"{alone:.1f} min + {allowance['added_min']} min (row {allowance['id']})",
        inputs=(Input("gas alone", context.shown(gas.value, "time", "down", gas.step), gas.id),),
        source=told.text,
        confidence=told.confidence,
        assumption="the gauge decides, not the clock",
    )
