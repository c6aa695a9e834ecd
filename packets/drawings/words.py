"""What a drawing says in words: its title, and a description for those who cannot see it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from packets.circuit import names
from packets.drawings import letters
from packets.drawings.drawing import Size
from packets.model.circuits import CircuitPlan
from packets.model.hookups import (
    BrazeStep,
    End,
    EvacuationPlan,
    Inlet,
    PortUse,
    RecoveryPlan,
    Route,
    Section,
    ValveSetting,
    Vent,
)

_WITH = {
    "magnet": "by magnet",
    "driver": "by its driver",
    "adjuster": "by its adjuster",
    "stem": "",
}
COIL = "then coil back on"
_CAPTION = 9.0  # points, as .caption-of of the style sheet


def listed(words: Iterable[str]) -> str:
    """Words with commas and a last "and"."""
    some = list(words)
    return " and ".join(part for part in (", ".join(some[:-1]), some[-1] if some else "") if part)


def sentence(*parts: str) -> str:
    """Parts as sentences; empty ones fall away."""
    return " ".join(f"{part[0].upper()}{part[1:]}." for part in parts if part)


def state(setting: ValveSetting) -> str:
    """How a valve is set, e.g. "OPEN by magnet"."""
    tool = _WITH.get(setting.set_with, f"by {setting.set_with}")
    return f"{setting.state.upper()} {tool}".strip()


def short_state(setting: ValveSetting) -> str:
    """The same in the first of its words, e.g. "OPEN", "MID"."""
    return setting.state.partition("-")[0].upper()


def caption(circuit: CircuitPlan, size: Size, what: str, past: Sequence[tuple[str, str]]) -> str:
    """Joints in one line over a drawing: numbers, and names if the line is wide enough."""
    numbers = listed(number for _, number in past)
    short = f"{what}{'s' if len(past) > 1 else ''} {numbers}"
    long = f"{short}: {listed(names.joint(circuit, joint) for joint, _ in past)}"
    fits = letters.width(long, _CAPTION, bold=True) <= size.width_mm
    return long if fits else short


def passed(circuit: CircuitPlan, settings: Sequence[ValveSetting]) -> str:
    """Valves that stand open already and that the gas runs through, in words."""
    said = listed(f"{names.part(circuit, one.part)} {one.state}" for one in settings)
    return f"on its way {said}" if said else ""


def valves(circuit: CircuitPlan, settings: Sequence[ValveSetting]) -> str:
    """What is set, in words."""
    said = [
        f"{names.part(circuit, one.part)} {one.state} {_WITH.get(one.set_with, '')}".strip()
        for one in settings
    ]
    return f"set {listed(said)}" if said else ""


def port(circuit: CircuitPlan, use: PortUse) -> str:
    """A service port in use."""
    return names.service_port(circuit, use.port) + (" (core out)" if use.core_out else "")


def opening(circuit: CircuitPlan, one: Inlet | Vent) -> str:
    """Where gas comes in or goes out."""
    if one.port:
        return port(circuit, PortUse(one.port, one.core_out))
    return names.end(circuit, one.end) if one.end else ""


def _ends(circuit: CircuitPlan, ends: Sequence[End]) -> str:
    return listed(names.end(circuit, end) for end in ends)


def route(circuit: CircuitPlan, way: Route, past: Sequence[tuple[str, str]]) -> str:
    """The way of the nitrogen past joints, each with its number."""
    joints = listed(f"joint {number} ({names.joint(circuit, joint)})" for joint, number in past)
    vent = opening(circuit, way.vent)
    if way.vent.end:
        vent = f"the open {vent}" if way.vent.end.owner == "stub" else f"a vented cap on {vent}"
    share = ""
    if not way.sole:
        low, high = (round(100 * part) for part in (way.share.low, way.share.high))
        share = f"the flow splits: {low} to {high} % passes the joint"
    either = listed(names.part(circuit, part) for part in way.either_way)
    return sentence(
        f"nitrogen in at {opening(circuit, way.inlet)}, past {joints}, out at {vent}",
        valves(circuit, way.valves),
        f"black caps on {_ends(circuit, way.caps)}" if way.caps else "",
        f"white plugs stay on {_ends(circuit, way.keep_closed)}" if way.keep_closed else "",
        share,
        f"it holds however the {either} stands" if either else "",
        "the only way out is a capillary: the joint stands under pressure" if way.pressed else "",
    )


def waiting(circuit: CircuitPlan, steps: Sequence[BrazeStep]) -> str:
    """Parts that are not there yet."""
    away = dict.fromkeys(part for step in steps for part in step.waiting)
    return (
        sentence(f"dashed, not fitted yet: {listed(names.part(circuit, one) for one in away)}")
        if away
        else ""
    )


def kept(circuit: CircuitPlan, sections: Sequence[Section]) -> str:
    """Sections that hold something whatever is set."""
    found = dict.fromkeys(
        names.element(circuit, element) for one in sections for element in one.elements
    )
    return f"not reached: {listed(found)}" if found else ""


def recovery(circuit: CircuitPlan, plan: RecoveryPlan, burnt: bool) -> str:
    """The recovery hook-up."""
    first = listed(port(circuit, one) for one in plan.liquid)
    then = listed(port(circuit, one) for one in plan.vapor)
    return sentence(
        f"recover liquid from {first}" if first else f"recover from {then}",
        f"then vapor from {then} too" if first and then else "",
        "all of it through an acid-rated drier into the recovery machine" if burnt else "",
        valves(circuit, plan.valves),
        kept(circuit, plan.left),
    )


def charging(
    circuit: CircuitPlan, port: str, settings: Sequence[ValveSetting], coils: Sequence[str]
) -> str:
    """The charging hook-up; the coils go back while the charge is weighed in."""
    named = listed(names.part(circuit, part) for part in coils)
    return sentence(
        f"charge by weight into {names.service_port(circuit, port)}",
        valves(circuit, settings),
        f"then the coil back on the {named}" if named else "",
    )


def evacuation(circuit: CircuitPlan, plan: EvacuationPlan) -> str:
    """The evacuation hook-up."""
    gauge = ""
    if plan.gauge:
        place = names.service_port(circuit, plan.gauge.port)
        side = "on the side branch of the core tool at" if plan.gauge.tee else "at"
        far = names.element(circuit, plan.gauge.farthest)
        gauge = f"gauge {side} {place}; farthest from the pump: {far}"
    return sentence(
        f"pump on {listed(port(circuit, one) for one in plan.pumped)}",
        gauge,
        valves(circuit, plan.valves),
        kept(circuit, plan.left),
    )
