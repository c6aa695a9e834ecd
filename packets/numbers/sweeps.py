"""How the way past each joint is purged before a flame: at which flow, and how long.

The flow starts at what practice gives and rises, in steps of the flowmeter, where a wide tube or a
large volume asks for more. No purge before a flame lasts longer than the table's longest: the
system was purged as a whole before it was opened, its other ends are capped, and only what came in
by the opened ends is left.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

from packets import reference
from packets.circuit import names
from packets.formulas import nitrogen, purging
from packets.model.hookups import Route
from packets.model.numbers import Entry, Number, WriteIn
from packets.numbers.charge_parts import tube_bore
from packets.numbers.context import Context
from packets.numbers.machine import practice
from packets.numbers.volume import internal_volume
from packets.quantities import CUBIC_FOOT

SCFH = CUBIC_FOOT / 3600
_FOOT = 0.3048


@dataclass(frozen=True)
class Sweep:
    """The purge of one way: how long, and at which flow."""

    time: Number
    flow: Number

    @property
    def gas(self) -> float:
        """Nitrogen that it takes for the minutes as printed [m3 standard]."""
        return self.flow.value * printed_seconds(self.time.value)


def printed_seconds(seconds: float) -> float:
    """A time as it is printed, whole minutes rounded up [s]."""
    return math.ceil(seconds / 60 - 1e-6) * 60.0


def gas_of_volumes(context: Context, volume: float) -> float:
    """Nitrogen of the usual number of volumes [m3 standard]."""
    count = practice("sweep-volumes")["changes_count"]
    outdoor = context.job.conditions.outdoor.value
    return nitrogen.sweep_gas(volume, count, context.atmosphere, outdoor)


def chosen_flow(gas: float, longest: float, least: float = 0.0) -> float:
    """The flow [m3/s standard]: the usual one, or as much more as the tube or the time asks for."""
    usual, most = practice("sweep-flow"), practice("sweep-flow-most")
    step = most["step_scfh"] * SCFH
    asked = max(usual["flow_scfh"] * SCFH, least, gas / longest)
    highest = float(most["flow_scfh"]) * SCFH
    return highest if asked >= highest else float(math.ceil(asked / step - 1e-6) * step)


def of_route(
    context: Context, key: str, name: str, route: Route | None, size: float | None
) -> Sweep | None:
    """How long and at which flow the way past a joint is purged before the flame; None where no gas
    is led past it. `size` is the outside diameter of its tube [m]."""
    if route is None:
        return None
    longest = practice("sweep-longest")["joint_min"] * 60.0
    bore = tube_bore(size) if size else None
    speed = practice("sweep-speed")["speed_ft_s"]
    least = purging.flow_for_speed(speed * _FOOT, bore) if bore else 0.0
    volumes = context.hookups.volumes
    counted = not set(route.elements) & set(volumes.not_counted)
    changes = practice("sweep-volumes")
    source = reference.table("practice").source(changes)
    if not counted:
        flow, seconds = chosen_flow(math.inf, longest), longest
        working = f"its volume is not known: the longest, {longest / 60:.0f} min"
        assumption = ""
    else:
        # A route is part of the machine: where its volume is stated, no route holds more.
        reckoned, whole = volumes.of(route.elements).high, internal_volume(context)
        volume = min(reckoned, whole.most) if whole else reckoned
        gas = gas_of_volumes(context, volume)
        flow = chosen_flow(gas, longest, least)
        seconds = nitrogen.sweep_time(gas, flow)
        working = (
            f"{changes['changes_count']} x {volume * 1e3:.2f} L at {flow / SCFH:.0f} scfh"
            f" = {seconds / 60:.1f} min"
        )
        notes = [
            *volumes.assumptions,
            *(["at most the whole circuit"] if volume < reckoned else []),
        ]
        if seconds > longest:
            working += f", at most {longest / 60:.0f} min"
            notes.append(
                "the system was purged as a whole before it was opened, its ends are capped"
            )
        assumption = "; ".join(notes)
    time = Number(
        f"joint.sweep_time.{key}",
        f"Purge before the flame, {name}",
        "time",
        min(max(seconds, 60.0), longest),
        "up",
        f"volumes purged x volume of the way / flow, 1 to {longest / 60:.0f} min",
        working,
        (),
        source.text,
        source.confidence,
        assumption=assumption,
    )
    row = practice("sweep-flow")
    told = reference.table("practice").source(row)
    moved = f"{speed} ft/s in the tube needs {least / SCFH:.0f} scfh; " if bore else ""
    return Sweep(
        time,
        Number(
            f"joint.sweep_flow.{key}",
            f"Purge at, {name}",
            "volume-flow",
            flow,
            "nearest",
            "the usual flow, or more for a wide tube or a large volume",
            f"{moved}{flow / SCFH:.0f} scfh",
            (),
            told.text,
            told.confidence,
        ),
    )


def stub_sweeps(context: Context) -> dict[str, Sweep | None]:
    """By stub, how nitrogen runs before it is taken out hot."""
    found = context.hookups.found
    sizes = {joint.key: joint.size for joint in context.joints}
    return {
        step.joint: of_route(
            context, step.joint, names.joint(found, step.joint), step.route, sizes.get(step.joint)
        )
        for step in context.hookups.unbraze.steps
    }


def entries(sweep: Sweep | None) -> tuple[Entry, ...]:
    """The joint.sweep_* of a repetition: computed, or worked out on site."""
    if sweep is not None:
        return (
            replace(sweep.time, id="joint.sweep_time"),
            replace(sweep.flow, id="joint.sweep_flow"),
        )
    return (
        WriteIn("joint.sweep_time", "Purge", "time", "five volumes of what it runs through"),
        WriteIn("joint.sweep_flow", "Purge at", "volume-flow", "flow of the purge"),
    )
