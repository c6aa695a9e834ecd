"""The hook-ups of a circuit as text for people and as data for programs."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from packets.circuit import names
from packets.model.circuits import CircuitPlan
from packets.model.hookups import (
    End,
    Hookups,
    PortUse,
    Route,
    Section,
    Span,
    TrappedLiquid,
    ValveSetting,
)

# The acts that use a hook-up of their own.
ALL = frozenset({"removes-refrigerant", "heats", "frees-of-fuel", "evacuates", "charges"})


def lines(hookups: Hookups, acts: frozenset[str] = ALL) -> Iterator[str]:
    """The plans of a circuit that the planned acts use, a line or two each."""
    circuit = hookups.made
    recovery, evacuation, sweep = hookups.recovery, hookups.evacuation, hookups.sweep
    liquid, vapor = names.ports(circuit, recovery.liquid), names.ports(circuit, recovery.vapor)
    first = f"{liquid} (liquid), then {vapor}" if liquid and vapor else liquid or vapor
    if "removes-refrigerant" in acts:
        yield f"recover at: {first}{_set(circuit, recovery.valves)}"
        for one in recovery.trapped:
            yield f"    liquid is trapped {_between(circuit, one.shut)}"
    if sweep is not None and acts & {"heats", "frees-of-fuel"}:
        ways = [names.service_port(circuit, port) for port in (sweep.inlet, sweep.vent)]
        yield f"sweep: in at {ways[0]}, out at {ways[1]}{_set(circuit, sweep.valves)}"
    for stub in hookups.unbraze.steps:
        yield f"unbraze {names.joint(hookups.found, stub.joint)} ({stub.height}, {stub.depth})"
        yield from _route(hookups.found, stub.route)
    for at, step in enumerate(hookups.braze.steps, 1):
        how = "" if step.route else ", screwed"
        reach = ", in the open" if step.in_the_open else ""
        yield f"joint {at}: {names.joint(circuit, step.joint)}{reach}{how}"
        yield from _route(circuit, step.route)
    for joint, again in hookups.repairs:
        way = "no way for the gas"
        if again is not None:
            way = f"in: {names.inlet(circuit, again.inlet)}; out: {names.vent(circuit, again.vent)}"
        yield f"made again, {names.joint(circuit, joint)}: {way}"
    gauge = evacuation.gauge
    place = names.service_port(circuit, gauge.port) if gauge else "no place"
    side = " (side branch of its core tool)" if gauge and gauge.tee else ""
    pumped = names.ports(circuit, evacuation.pumped)
    if "evacuates" in acts:
        yield f"evacuate at: {pumped}; gauge: {place}{side}{_set(circuit, evacuation.valves)}"
    if gauge and "evacuates" in acts:
        yield f"    hardest to reach: {names.element(circuit, gauge.farthest)}"
    if hookups.charging and "charges" in acts:
        yield f"charge at: {names.service_port(circuit, hookups.charging)}"


def _set(circuit: CircuitPlan, valves: Iterable[ValveSetting]) -> str:
    words = [names.set_valve(circuit, one) for one in valves]
    return f"; set {names.joined(words)}" if words else ""


def _between(circuit: CircuitPlan, parts: Iterable[str]) -> str:
    return f"between {names.joined([names.part(circuit, part) for part in parts])}"


def _route(circuit: CircuitPlan, route: Route | None) -> Iterator[str]:
    if route is None:
        return
    caps = names.joined([names.end(circuit, one) for one in route.caps]) or "none"
    yield f"    in: {names.inlet(circuit, route.inlet)}; out: {names.vent(circuit, route.vent)}"
    share = "all of the gas" if route.sole else f"{route.share.low:.0%} of the gas or more"
    yield f"    caps: {caps}; past this joint: {share}{_set(circuit, route.valves)}"


def data(hookups: Hookups) -> dict[str, Any]:
    """The plans for a program. Places are named as in the circuit, lengths and volumes in SI."""
    recovery, evacuation, sweep = hookups.recovery, hookups.evacuation, hookups.sweep
    gauge = evacuation.gauge
    return {
        "circuit": hookups.made.circuit,
        "recovery": {
            "liquid": [_use(use) for use in recovery.liquid],
            "vapor": [_use(use) for use in recovery.vapor],
            "valves": _valves(recovery.valves),
            "would_keep": [_section(hookups, one) for one in recovery.keeps],
            "trapped": [_trapped(hookups, one) for one in recovery.trapped],
        },
        "sweep": sweep
        and {
            "inlet": sweep.inlet,
            "vent": sweep.vent,
            "valves": _valves(sweep.valves),
            "beside": list(sweep.beside),
        },
        "unbraze": [
            {"joint": s.joint, "height": s.height, "depth": s.depth, "route": _way(s.route)}
            for s in hookups.unbraze.steps
        ],
        "braze": [
            {
                "joint": step.joint,
                "part": step.part,
                "in_the_open": step.in_the_open,
                "route": _way(step.route),
            }
            for step in hookups.braze.steps
        ],
        "made_again": [{"joint": joint, "route": _way(way)} for joint, way in hookups.repairs],
        "evacuation": {
            "pumped": [_use(use) for use in evacuation.pumped],
            "gauge": gauge and {"port": gauge.port, "tee": gauge.tee, "farthest": gauge.farthest},
            "valves": _valves(evacuation.valves),
        },
        "charging": hookups.charging,
        "volumes": {
            "elements_m3": {k: _span(v) for k, v in sorted(hookups.volumes.elements.items())},
            "estimated": sorted(hookups.volumes.estimated),
            "not_counted": sorted(hookups.volumes.not_counted),
            "assumptions": list(hookups.volumes.assumptions),
        },
    }


def _use(use: PortUse) -> dict[str, Any]:
    return {"port": use.port, "core_out": use.core_out}


def _valves(valves: Iterable[ValveSetting]) -> list[dict[str, str]]:
    return [{"part": v.part, "state": v.state, "set_with": v.set_with} for v in valves]


def _span(span: Span) -> list[float]:
    return [span.low, span.high]


def _section(hookups: Hookups, one: Section) -> dict[str, Any]:
    volume = hookups.volumes.of(one.elements)
    return {"elements": list(one.elements), "bounds": list(one.bounds), "volume_m3": _span(volume)}


def _trapped(hookups: Hookups, one: TrappedLiquid) -> dict[str, Any]:
    return {
        **_section(hookups, one.section),
        "shut": list(one.shut),
        "open_one": _valves(one.open_one),
    }


def _end(end: End | None, port: str, core_out: bool) -> dict[str, Any]:
    if end is None:
        return {"port": port, "core_out": core_out}
    return {"joint": end.joint, "end_of": end.owner}


def _way(route: Route | None) -> dict[str, Any] | None:
    if route is None:
        return None
    return {
        "inlet": _end(route.inlet.end, route.inlet.port, route.inlet.core_out),
        "vent": _end(route.vent.end, route.vent.port, route.vent.core_out),
        "caps": [_end(end, "", False) for end in route.caps],
        "keep_closed": [_end(end, "", False) for end in route.keep_closed],
        "valves": _valves(route.valves),
        "sole": route.sole,
        "share": _span(route.share),
        "through": list(route.elements),
        "lifts": list(route.lifts),
        "against": list(route.against),
        "inlet_pressure_pa": _span(route.inlet_pressure),
        "pressed": route.pressed,
    }
