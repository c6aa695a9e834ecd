"""Joints of the high side that the hold proves below the pressure they will run at.

The compressor joins both sides, so the low side's figure stops the hold. A joint that this job
makes on the high side is then proved below its running pressure: people decide, and a leak check at
the highest head ends the job. The high side by itself is tested only between closed hand valves.
"""

from __future__ import annotations

from packets.circuit import names
from packets.formatting import counted
from packets.formulas.ranges import OutOfRange
from packets.model.circuits import CircuitPlan
from packets.model.numbers import Input, Words, WriteIn, weakest
from packets.numbers.context import Context, JointAt
from packets.numbers.machine import practice

# What a person shuts to its seat; no solenoid, check, metering or reversing valve isolates.
HAND_VALVES = ("service-valve", "ball-valve")


def add(context: Context) -> None:
    """Add hold.running, hold.running_joints, hold.valve_off and hold.decision where a joint of the
    high side that the job makes is proved below the pressure it can run at; else none of them."""
    joints = high_joints(context)
    limit = context.register.number("hold.limit")
    found, working, inputs, confidence = _running(context)
    if not joints or (limit is not None and limit.value >= found):
        return
    context.number(
        "hold.running",
        "High side runs up to",
        "gauge-pressure",
        found,
        round="up",
        formula="bubble pressure at the highest condensing temperature, less the air's",
        working=working,
        inputs=inputs,
        source="saturation data of the refrigerant",
        confidence=confidence,  # type: ignore[arg-type]
        assumption="highest of the record's condensing range and the day's outdoor temperature",
    )
    told = ", ".join(joint.name for joint in joints)
    shut = _valves(context.plan, joints)
    way = (
        f"close the {' and the '.join(shut)} by hand, low side open to the air and read"
        if shut
        else "no hand valves close it off"
    )
    source = "the circuit, and the joints that the job makes"
    context.register.add(Words("hold.running_joints", "Joints on the high side", told, source))
    context.register.add(Words("hold.valve_off", "To test the high side alone", way, source))
    context.register.add(
        WriteIn(
            "hold.decision",
            "Below running pressure",
            "gauge-pressure",
            "manager: leak check at highest head, or high side tested alone",
        )
    )
    stops = (
        context.shown(limit.value, "gauge-pressure", "down")
        if limit
        else "the low side's nameplate"
    )
    context.findings.warn(
        "hold-below-running",
        context.record_place("design_pressure"),
        f"the hold stops at {stops}, the high side can run at"
        f" {context.shown(found, 'gauge-pressure', 'up')};"
        f" {counted(len(joints), 'joint')} proved below it",
        f"manager decides: leak check at highest head, or high side alone: {way}",
    )


def high_joints(context: Context) -> tuple[JointAt, ...]:
    """The joints this job makes where the pressure can be the high side's: all but those whose line
    (or part, where no line meets them) is low side in every mode."""
    return tuple(joint for joint in context.joints if _side(context.plan, joint.key) != "low")


def _side(circuit: CircuitPlan, key: str) -> str:
    for line in circuit.lines.values():
        if key in (line.from_, line.to):
            return line.side
    part = circuit.parts.get(key.partition(".")[0])
    return part.side if part else ""


def _running(context: Context) -> tuple[float, str, tuple[Input, ...], str]:
    """Highest pressure of the high side [Pa gauge], its working, inputs and confidence."""
    conditions, condensing = context.job.conditions, context.record.condensing
    outdoor = conditions.outdoor
    if condensing is not None:
        at, sure = max(condensing.high.value, outdoor.value), "given"
        inputs = (context.given("condensing", condensing.high, context.key("condensing", "high")),)
    else:
        at = outdoor.value + practice("condensing-over-air")["over_f_diff"] / 1.8
        sure = "practice"
        inputs = (context.given("outdoor", outdoor, "job, conditions.outdoor"),)
    if context.fluid is not None:
        try:
            bubble = context.fluid.table.bubble_pressure(at)
        except OutOfRange:
            pass
        else:
            shown = context.shown(bubble, "absolute-pressure")
            text = f"{context.shown(at, 'temperature')}: {shown} less the air"
            return bubble - context.atmosphere, text, inputs, weakest("computed", sure)  # type: ignore[arg-type]
    cut_out = context.record.controls.high_pressure_cut_out
    most, name = (
        (cut_out, "high-pressure cut-out")
        if cut_out is not None
        else (context.record.design_pressure.high, "high-side design pressure")
    )
    given = (Input(name, most.text, context.key()),)
    return most.value, f"no saturation data there: {name} {most.text}", given, "given"


def _valves(circuit: CircuitPlan, joints: tuple[JointAt, ...]) -> tuple[str, ...]:
    """The hand valves that shut these joints off from the compressor, the metering device and the
    low side; none where what is drawn does not do it."""
    bounds: dict[str, None] = {}
    for joint in joints:
        owner = joint.key.partition(".")[0]
        if circuit.parts[owner].kind in HAND_VALVES:
            bounds[owner] = None
        seen: set[str] = set()
        todo = [n for n, line in circuit.lines.items() if joint.key in (line.from_, line.to)]
        if not todo:
            return ()
        while todo:
            name = todo.pop()
            if name in seen:
                continue
            seen.add(name)
            line = circuit.lines[name]
            if line.side == "low":
                return ()
            for part in {line.from_.partition(".")[0], line.to.partition(".")[0]}:
                kind = circuit.parts[part].kind
                if kind in HAND_VALVES:
                    bounds[part] = None
                elif kind in ("compressor", "metering", "reversing-valve"):
                    return ()
                else:
                    todo += [
                        n
                        for n, other in circuit.lines.items()
                        if part in (other.from_.partition(".")[0], other.to.partition(".")[0])
                    ]
    return tuple(names.element(circuit, part) for part in bounds)
