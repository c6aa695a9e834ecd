"""Which formulas hold for this job: fills the register, subject by subject."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeVar

from packets.findings import Findings
from packets.formulas.ranges import OutOfRange
from packets.model.hookups import Hookups
from packets.model.numbers import Number
from packets.numbers import (
    charge,
    evacuation,
    fillers,
    flammables,
    hold,
    leak_rate,
    load,
    machine,
    ports,
    purge,
    recovery,
    saturation_card,
    torque,
    verify,
)
from packets.numbers.context import Context

T = TypeVar("T")

# The acts for which a subject's warnings, and what it finds of the kit, concern the job.
_NITROGEN = frozenset({"pressurizes", "searches", "heats", "frees-of-fuel"})
_HOLD = frozenset({"pressurizes", "searches"})
_VACUUM = frozenset({"evacuates", "frees-of-fuel", "charges"})
_RECOVERY = frozenset({"removes-refrigerant", "opens", "heats", "pressurizes", "frees-of-fuel"})
_CHARGE = frozenset({"charges"})
_MOVED = frozenset({"removes-refrigerant", "charges"})


@dataclass(frozen=True)
class Lists:
    """What the fragments' `for_each` groups repeat for, in order."""

    joints: tuple[purge.JointPlan, ...]
    recovery: tuple[recovery.Filling, ...]
    charging: tuple[charge.Draw, ...]
    breaks: int
    hookups: Hookups
    stub_sweeps: dict[str, Number | None]


def compute(context: Context) -> Lists:
    """Fill the context's register. Problems of the inputs go to its findings."""
    breaks = evacuation.breaks(context)
    _guarded(context, "the machine", machine.add)
    ports.add(context)
    fillings = _guarded(context, "recovery", recovery.add, _RECOVERY) or ()
    joints = _guarded(context, "nitrogen and filler", purge.add, _NITROGEN) or ()
    stubs = _guarded(context, "nitrogen for the stubs", purge.stub_sweeps, _NITROGEN) or {}
    start = _guarded(context, "the pressure hold", hold.add, _HOLD)
    _guarded(context, "evacuation", evacuation.add, _VACUUM)
    _guarded(
        context,
        "nitrogen to load",
        lambda held: purge.load(held, start, breaks, joints, stubs),
        _NITROGEN | {"evacuates"},
    )
    _guarded(context, "sizes to load", load.add)
    draws = _guarded(context, "the charge", charge.add, _CHARGE) or ()
    _guarded(context, "flammability", flammables.add)
    _guarded(context, "leak rate", leak_rate.add, _MOVED)
    _guarded(context, "saturation", saturation_card.add)
    _guarded(context, "filler metals", lambda held: fillers.add(held, joints))
    _guarded(context, "verification", verify.add)
    _guarded(context, "torque", torque.add)
    return Lists(joints, fillings, draws, breaks, context.hookups, stubs)


def _guarded(
    context: Context,
    subject: str,
    add: Callable[[Context], T],
    acts: frozenset[str] = frozenset(),
) -> T | None:
    """Run one subject; an input outside a formula's range is a finding, not a crash. What a subject
    could not make for an error it told is missing, not unknown. Where none of its acts is planned,
    only what is wrong with the job's and the machine's own statements is told."""
    if acts and not acts & context.acts:
        return _unplanned(context, subject, add)
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


def _unplanned(context: Context, subject: str, add: Callable[[Context], T]) -> T | None:
    """Run a subject whose work is not planned: no warning, and nothing of the kit that it would
    have taken. A text that names a number which is then missing is still told."""
    broken, aside = context.register.broken, Findings(asked=set(context.findings.asked))
    made = _guarded(replace(context, findings=aside), subject, add)
    context.register.broken = broken
    kit = context.place("kit").file
    for finding in aside.errors():
        if finding.place.file != kit:
            context.findings.add(finding)
            context.register.broken = True
    return made
