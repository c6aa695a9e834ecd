"""Nitrogen for the sweep, the braze and the hold; filler for each joint; what to load of both."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from packets import reference
from packets.circuit import names
from packets.formatting import tube
from packets.formulas import brazing, nitrogen
from packets.formulas.ranges import OutOfRange
from packets.model.hookups import Route
from packets.model.numbers import Entry, Input, Number, Words, WriteIn
from packets.numbers import torque
from packets.numbers.context import Context, JointAt
from packets.numbers.machine import practice
from packets.numbers.volume import internal_volume, wait_for_volume
from packets.quantities import CUBIC_FOOT

_SCFH = CUBIC_FOOT / 3600
WITH_FLUX = "with flux"
# A braze with heating up and cooling down, with the trickle on.
_MINUTES_A_JOINT = 10


@dataclass(frozen=True)
class JointPlan:
    """A joint with its filler."""

    joint: JointAt
    filler: str
    flux: str
    torque: str = ""
    torque_ends: tuple[Entry, ...] = ()
    sweep: Number | None = None


def add(context: Context) -> tuple[JointPlan, ...]:
    """Add the purge.*, braze.* and nitrogen.* entries; returns the joints in brazing order."""
    _sweep(context)
    joints = tuple(
        replace(_joint(context, joint), sweep=_sweep_of(context, joint)) for joint in context.joints
    )
    _rods(context, joints)
    return joints


def _sweep(context: Context) -> None:
    flow, changes, trickle = (
        practice("sweep-flow"),
        practice("sweep-volumes"),
        practice("braze-trickle"),
    )
    context.practice(
        "purge.sweep_flow", "Sweep with nitrogen at", "volume-flow", flow["flow_scfh"] * _SCFH, flow
    )
    low, high = trickle["flow_low_scfh"], trickle["flow_high_scfh"]
    context.register.add(
        Words(
            "purge.flow",
            "Trickle while brazing",
            _flow_range(low * _SCFH, high * _SCFH, context),
            reference.table("practice").source(trickle).text,
        )
    )
    context.practice(
        "purge.flow_low", "Trickle, lowest", "volume-flow", low * _SCFH, trickle, round="up"
    )
    context.practice(
        "purge.flow_high", "Trickle, highest", "volume-flow", high * _SCFH, trickle, round="down"
    )
    volume = internal_volume(context)
    if volume is None:
        wait_for_volume(context, "purge.sweep_time", "nitrogen.needed", "nitrogen.cylinders")
        return
    outdoor = context.job.conditions.outdoor.value
    gas = nitrogen.sweep_gas(volume.most, changes["changes_count"], context.atmosphere, outdoor)
    seconds = nitrogen.sweep_time(gas, flow["flow_scfh"] * _SCFH)
    source = reference.table("practice").source(changes)
    context.number(
        "purge.sweep_time",
        "Sweep for",
        "time",
        seconds,
        round="up",
        formula="volumes swept x internal volume / flow",
        working=f"{changes['changes_count']} x {volume.text} at {flow['flow_scfh']} scfh"
        f" = {seconds / 60:.1f} min",
        inputs=(volume.input,),
        source=source.text,
        confidence=source.confidence,
    )


def _flow_range(low: float, high: float, context: Context) -> str:
    lower = context.shown(low, "volume-flow", "up")
    upper = context.shown(high, "volume-flow", "down")
    return f"{lower.split()[0]} to {upper}"


def _joint(context: Context, joint: JointAt) -> JointPlan:
    """Filler and flux by the metals that meet; the maker's word wins over the table."""
    if joint.kind != "brazed":
        ends = torque.ends_of_joint(context, joint)
        return JointPlan(joint, "no filler", "", _torque(context, joint), ends)
    row = _filler_row(joint.metals)
    if row is None:
        context.findings.error(
            "filler-unknown",
            context.record_place("joints", joint.key, "metals"),
            f"no filler is known for {' to '.join(joint.metals)}",
            "write the metals as copper, steel, plated-steel or brass",
        )
        return JointPlan(joint, "", "")
    names = row.get("classes") or row["families"]
    flux = WITH_FLUX if row["flux"] else "no flux"
    return JointPlan(joint, " or ".join(names), flux)


def joint_sweep(context: Context, key: str, name: str, route: Route | None) -> Number | None:
    """How long the way past a joint is swept before the flame; None without a route or volumes."""
    if route is None:
        return None
    volumes = context.hookups.volumes
    if set(route.elements) & set(volumes.not_counted):
        return None
    # A route is part of the machine: where its volume is stated, no route holds more.
    reckoned, whole = volumes.of(route.elements).high, internal_volume(context)
    volume = min(reckoned, whole.most) if whole else reckoned
    flow, changes = practice("sweep-flow"), practice("sweep-volumes")
    count = changes["changes_count"]
    outdoor = context.job.conditions.outdoor.value
    gas = nitrogen.sweep_gas(volume, count, context.atmosphere, outdoor)
    seconds = nitrogen.sweep_time(gas, flow["flow_scfh"] * _SCFH)
    source = reference.table("practice").source(changes)
    return Number(
        f"joint.sweep_time.{key}",
        f"Sweep before the flame, {name}",
        "time",
        max(seconds, 60.0),
        "up",
        "volumes swept x volume that the gas runs through / flow, 1 min at least",
        f"{count} x {volume * 1e3:.2f} L at {flow['flow_scfh']} scfh = {seconds / 60:.1f} min",
        (),
        source.text,
        source.confidence,
        assumption="; ".join(
            (*volumes.assumptions, *(["at most the whole circuit"] if volume < reckoned else []))
        ),
    )


def _sweep_of(context: Context, joint: JointAt) -> Number | None:
    route = joint.step.route if joint.step else None
    return joint_sweep(context, joint.key, joint.name, route)


def stub_sweeps(context: Context) -> dict[str, Number | None]:
    """By stub, how long nitrogen runs before it is taken out hot."""
    found = context.hookups.found
    return {
        step.joint: joint_sweep(context, step.joint, names.joint(found, step.joint), step.route)
        for step in context.hookups.unbraze.steps
    }


def sweep_entry(sweep: Number | None) -> Entry:
    """The joint.sweep_time of a repetition: computed, or worked out on site."""
    if sweep is not None:
        return replace(sweep, id="joint.sweep_time")
    return WriteIn("joint.sweep_time", "Sweep", "time", "five volumes of what it runs through")


def _torque(context: Context, joint: JointAt) -> str:
    """What a screwed joint is tightened to: the maker's value, the table's, or read on site."""
    return torque.of_joint(context, joint)


def _filler_row(metals: tuple[str, ...]) -> dict[str, Any] | None:
    for row in reference.table("filler_choice").rows:
        if sorted(row["metals"]) == sorted(metals):
            return row
    return None


def _rods(context: Context, joints: tuple[JointPlan, ...]) -> None:
    table = reference.table("filler_consumption")
    listed = [row["nominal_in"] * 0.0254 for row in table.rows]
    factor, rod = practice("filler-factor"), practice("filler-rod")
    by_filler: dict[str, list[float]] = {}
    for plan in joints:
        if plan.joint.kind != "brazed" or not plan.filler:
            continue
        try:
            nominal = brazing.listed_size(brazing.nominal_water_size(plan.joint.size), listed)
        except (OutOfRange, ValueError):
            context.register.wait(
                "braze.rods",
                context.key("joints", plan.joint.key),
                f"{tube(plan.joint.size)} is not in the table",
            )
            return
        row = table.rows[listed.index(nominal)]
        by_filler.setdefault(plan.filler, []).append(row["rod_1_8_x_050_length_in"] * 0.0254)
    if not by_filler:
        context.register.add(
            Words("braze.rods", "Filler rods to load", "none", "no joint is brazed")
        )
        return
    loads = []
    for filler, lengths in sorted(by_filler.items()):
        length = brazing.filler_length(lengths, factor["factor_high"])
        count = brazing.rods_to_load(length, rod["length_in"] * 0.0254, rod["stub_in"] * 0.0254)
        loads.append(f"{filler}: {count}")
    source = table.source(table.rows[0])
    context.register.add(Words("braze.rods", "Filler rods to load", "; ".join(loads), source.text))


def load(
    context: Context,
    hold: Number | None,
    breaks: int,
    joints: tuple[JointPlan, ...] = (),
    stubs: Mapping[str, Number | None] | None = None,
) -> None:
    """Add nitrogen.needed: sweeps, braze, fill, breaks; and check that the kit has it."""
    volume = internal_volume(context)
    register, outdoor = context.register, context.job.conditions.outdoor.value
    sweep = register.number("purge.sweep_time")
    if volume is None or sweep is None:
        return
    # Where the low side's limit is only read on site, load for the most it could be.
    fill = hold.value if hold else context.record.design_pressure.high.value
    flow = practice("sweep-flow")["flow_scfh"] * _SCFH
    trickle = practice("braze-trickle")["flow_high_scfh"] * _SCFH
    air = context.atmosphere
    entry = register.number("evac.break_pressure")
    break_pressure = entry.value if entry else 0.0
    # Freed of fuel it is swept twice, with a vacuum between that nitrogen fills again.
    sweeps = 2 if "frees-of-fuel" in context.acts else 1
    again = nitrogen.standard_volume(volume.most, air, outdoor)
    stubs = stubs or {}
    brazed = [plan for plan in joints if plan.joint.kind == "brazed"]
    # A sweep that is worked out on site takes no longer than that of the whole circuit.
    own = [
        one.value if one else sweep.value for one in (*(p.sweep for p in brazed), *stubs.values())
    ]
    flames = len(brazed) + len(stubs)
    parts = {
        "sweep": sweeps * flow * sweep.value + (sweeps - 1) * again,
        "sweeps before a flame": flow * sum(own),
        "brazing": trickle * 60 * _MINUTES_A_JOINT * flames,
        "fill": nitrogen.fill_gas(volume.most, air, air + fill, outdoor),
        "breaks": breaks * nitrogen.standard_volume(volume.most, air + break_pressure, outdoor),
    }
    total = sum(parts.values())
    words = " + ".join(f"{name} {gas / CUBIC_FOOT:.1f}" for name, gas in parts.items() if gas)
    needed = context.number(
        "nitrogen.needed",
        "Nitrogen this job uses",
        "volume",
        total,
        round="up",
        formula="sweep + sweep and trickle for each joint and stub heated + fill to the hold"
        " pressure + nitrogen breaks",
        working=f"{words} = {total / CUBIC_FOOT:.1f} ft³ at standard conditions",
        inputs=(
            volume.input,
            Input("sweeps of the whole", str(sweeps), "plan"),
            Input("joints brazed", str(len(brazed)), "plan"),
            Input("stubs unbrazed", str(len(stubs)), "plan"),
        ),
        source="gas law; flows by common practice, no source",
        confidence="practice",
        assumption=f"{_MINUTES_A_JOINT} min of trickle a joint or stub"
        + ("" if hold else "; filled to the high side's design pressure"),
    )
    have = sum(
        nitrogen.content_left(c.volume.value, c.full_pressure.value + air, c.pressure.value + air)
        for c in context.kit.nitrogen
    )
    if have < needed.value:
        context.findings.error(
            "nitrogen-short",
            context.place("kit", "nitrogen"),
            f"the job uses {context.shown(needed.value, 'volume', 'up')} of nitrogen,"
            f" the kit has {context.shown(have, 'volume', 'down')}",
            "load another cylinder and write it into the kit",
        )
