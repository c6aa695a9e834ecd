"""The joints in brazing order: filler, flux, torque and purge of each; filler to load."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from packets import reference
from packets.formatting import tube
from packets.formulas import brazing
from packets.formulas.ranges import OutOfRange
from packets.model.numbers import Entry, Words
from packets.numbers import purge_whole, sweeps, torque
from packets.numbers.context import Context, JointAt
from packets.numbers.machine import practice
from packets.numbers.sweeps import Sweep

WITH_FLUX = "with flux"


@dataclass(frozen=True)
class JointPlan:
    """A joint with its filler."""

    joint: JointAt
    filler: str
    flux: str
    torque: str = ""
    torque_ends: tuple[Entry, ...] = ()
    sweep: Sweep | None = None


def add(context: Context) -> tuple[JointPlan, ...]:
    """Add the purge.* and braze.* entries; returns the joints in brazing order."""
    purge_whole.add(context)
    joints = tuple(
        replace(_joint(context, joint), sweep=_sweep_of(context, joint)) for joint in context.joints
    )
    _rods(context, joints)
    return joints


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


def _sweep_of(context: Context, joint: JointAt) -> Sweep | None:
    route = joint.step.route if joint.step else None
    return sweeps.of_route(context, joint.key, joint.name, route, joint.size)


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
