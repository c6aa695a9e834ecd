"""Which formulas hold for this job: fills the register, subject by subject."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import TypeVar

from packets.formulas.ranges import OutOfRange
from packets.model.hookups import Hookups
from packets.numbers import (
    charge,
    evacuation,
    fillers,
    flammables,
    hold,
    identify,
    leak_rate,
    load,
    locked_out,
    machine,
    nitrogen_load,
    ports,
    purge,
    purge_whole,
    recovery,
    saturation_card,
    sweeps,
    torque,
    verify,
)
from packets.numbers.context import Context

T = TypeVar("T")


@dataclass(frozen=True)
class Lists:
    """What the fragments' `for_each` groups repeat for, in order."""

    joints: tuple[purge.JointPlan, ...]
    recovery: tuple[recovery.Filling, ...]
    charging: tuple[charge.Draw, ...]
    breaks: int
    hookups: Hookups
    stub_sweeps: dict[str, sweeps.Sweep | None]
    purge_cycles: int = 0


def compute(context: Context) -> Lists:
    """Fill the context's register. Problems of the inputs go to its findings."""
    breaks = evacuation.breaks(context)
    _guarded(context, "the machine", machine.add)
    ports.add(context)
    identify.add(context)
    _guarded(context, "capacitors and windings", locked_out.add)
    fillings = _guarded(context, "recovery", recovery.add) or ()
    joints = _guarded(context, "nitrogen and filler", purge.add) or ()
    stubs = _guarded(context, "nitrogen for the stubs", sweeps.stub_sweeps) or {}
    start = _guarded(context, "the pressure hold", hold.add)
    _guarded(context, "evacuation", evacuation.add)
    _guarded(
        context,
        "nitrogen to load",
        lambda held: nitrogen_load.add(held, start, breaks, joints, stubs),
    )
    _guarded(context, "sizes to load", load.add)
    draws = _guarded(context, "the charge", charge.add) or ()
    _guarded(context, "flammability", flammables.add)
    _guarded(context, "leak rate", leak_rate.add)
    _guarded(context, "saturation", saturation_card.add)
    _guarded(context, "filler metals", lambda held: fillers.add(held, joints))
    _guarded(context, "verification", verify.add)
    _guarded(context, "torque", torque.add)
    return Lists(
        joints, fillings, draws, breaks, context.hookups, stubs, purge_whole.cycles(context)
    )


def _guarded(context: Context, subject: str, add: Callable[[Context], T]) -> T | None:
    """Run one subject; an input outside a formula's range is a finding, not a crash. What a subject
    could not make for an error it told is missing, not unknown."""
    told = len(context.findings.errors())
    try:
        made = add(context)
        if len(context.findings.errors()) > told:
            context.register.broken = True
        return made
    except OutOfRange as problem:
        context.register.broken = True
        context.findings.error(
            "out-of-range",
            context.record_place(),
            f"{subject}: {problem}",
            "check the values that this number is made of",
        )
        return None
