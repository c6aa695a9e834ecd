"""Which formulas hold for this job: fills the register, subject by subject."""

from __future__ import annotations

from dataclasses import dataclass

from packets.numbers import charge, evacuation, hold, machine, purge, recovery, torque, verify
from packets.numbers.context import Context


@dataclass(frozen=True)
class Lists:
    """What the fragments' `for_each` groups repeat for, in order."""

    joints: tuple[purge.JointPlan, ...]
    recovery: tuple[recovery.Filling, ...]
    charging: tuple[charge.Draw, ...]
    breaks: int


def compute(context: Context) -> Lists:
    """Fill the context's register. Problems of the inputs go to its findings."""
    machine.add(context)
    fillings = recovery.add(context)
    joints = purge.add(context)
    start = hold.add(context)
    evacuation.add(context)
    breaks = evacuation.breaks(context)
    purge.load(context, start, breaks)
    draws = charge.add(context)
    verify.add(context)
    torque.add(context)
    return Lists(joints, fillings, draws, breaks)
