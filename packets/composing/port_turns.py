"""Repetitions for service ports and hand valves: what each port takes and how each valve stands."""

from __future__ import annotations

from collections.abc import Iterator

from packets import cores
from packets.circuit import kinds, names, ports, settings
from packets.circuit.sides import low_port
from packets.model.circuits import CircuitPlan
from packets.model.hookups import Hookups, ValveSetting

# What a port turn or a valve turn may name.
PORT = ("port.name", "port.shut", "port.opened", "port.closed")
VALVE = ("valve.name", "valve.state", "valve.how", "valve.shut", "valve.opened")

_PORT_LISTS = (
    "recovery-cores", "sweep-cores", "evacuation-cores", "evacuation-ports", "charging-ports",
    "charging-port", "low-port", "other-ports", "opened-ports",
)  # fmt: skip
_VALVE_LISTS = (
    "recovery-valves", "sweep-valves", "evacuation-valves", "recovery-gauge-valves",
    "evacuation-gauge-valves", "micron-gauge-valves",
    "isolating-valves", "running-valves",
)  # fmt: skip
LISTS = (*_PORT_LISTS, *_VALVE_LISTS)


def of(what: str, hookups: Hookups) -> list[tuple[str, dict[str, str]]]:
    """For each repetition of `what` its id in field names and the words its text may name."""
    circuit = hookups.made
    if what in _PORT_LISTS:
        return [(port, _port(hookups, port)) for port in _ports(what, hookups)]
    used = _used(what, hookups)
    return [(one.part, _valve(circuit, one, used)) for one in _valves(what, hookups)]


def _ports(what: str, hookups: Hookups) -> tuple[str, ...]:
    circuit = hookups.made
    pumped = tuple(use.port for use in hookups.evacuation.pumped)
    if what == "evacuation-ports":
        return pumped
    if what == "charging-port":
        return (hookups.charging,) if hookups.charging else ()
    if what == "low-port":
        low = low_port(circuit, hookups.charging)
        return (low,) if low else ()
    if what == "charging-ports":
        both = (hookups.charging, low_port(circuit, hookups.charging))
        return tuple(dict.fromkeys(port for port in both if port))
    if what == "other-ports":
        return tuple(port for port in circuit.service_ports if port not in pumped)
    if what == "opened-ports":
        used = cores.opened(hookups)
        return tuple(port for port in circuit.service_ports if port in used)
    out = cores.out_at_once(hookups)[what.partition("-")[0]]
    return tuple(port for port in circuit.service_ports if port in out)


def _valves(what: str, hookups: Hookups) -> tuple[ValveSetting, ...]:
    if what == "recovery-valves":
        return hand_valves(hookups.found, hookups.recovery.valves)
    if what in ("sweep-valves", "evacuation-valves"):
        return hand_valves(hookups.made, hookups.evacuation.valves)
    if what == "isolating-valves":
        return hookups.isolation.valves
    if what == "running-valves":
        return tuple(_running(hookups))
    recovery = (*hookups.recovery.liquid, *hookups.recovery.vapor)
    gauge = hookups.evacuation.gauge
    used = [use.port for use in (hookups.evacuation.pumped if "evac" in what else recovery)]
    if what == "micron-gauge-valves":
        used = [gauge.port] if gauge and not gauge.tee else []
    valves = dict.fromkeys(
        ports.valve(hookups.made, port)
        for port in used
        if ports.kind(hookups.made, port) == ports.GAUGE
    )
    return tuple(ValveSetting(name, state, "stem") for name, state in valves if name)


def hand_valves(circuit: CircuitPlan, put: tuple[ValveSetting, ...]) -> tuple[ValveSetting, ...]:
    """Every valve to set, and with them each hand valve that has to stand as it is found."""
    named = {one.part for one in put}
    standing = [
        ValveSetting(name, kinds.stands(part)[0], "stem")
        for name, part in circuit.parts.items()
        if name not in named
        and part.kind in ("service-valve", "ball-valve")
        and kinds.set_with(part) == "stem"
        and len(kinds.stands(part)) == 1
    ]
    return tuple(sorted((*put, *standing), key=lambda one: one.part))


def _running(hookups: Hookups) -> Iterator[ValveSetting]:
    """How each hand valve stands for running; a solenoid coil is set back at another step."""
    circuit = hookups.made
    valves = (*hookups.recovery.valves, *hookups.evacuation.valves, *hookups.isolation.valves)
    moved = {one.part: one for one in valves if one.set_with != "magnet"}
    standing = hand_valves(circuit, ())
    moved |= {one.part: one for one in standing if one.part not in moved}
    for name in sorted(moved):
        if name in circuit.parts and len(kinds.stands(circuit.parts[name])) == 1:
            state = kinds.stands(circuit.parts[name])[0]
            tool = moved[name].set_with
            yield ValveSetting(name, "as it was found" if tool == "adjuster" else state, tool)


def _used(what: str, hookups: Hookups) -> frozenset[str]:
    """The ports that a hose, a tool or a gauge is on while valves stand as a list says."""
    pumped, gauge, sweep = hookups.evacuation.pumped, hookups.evacuation.gauge, hookups.sweep
    if what == "recovery-valves":
        return frozenset(use.port for use in (*hookups.recovery.liquid, *hookups.recovery.vapor))
    if what == "sweep-valves":
        return frozenset((sweep.inlet, sweep.vent) if sweep else ())
    return frozenset((*(use.port for use in pumped), gauge.port if gauge else ""))


def _valve(circuit: CircuitPlan, one: ValveSetting, used: frozenset[str]) -> dict[str, str]:
    """How a valve is put and by what; a gauge port that it opens and nobody uses is capped."""
    name, state, how = names.setting(circuit, one)
    known = kinds.states(circuit.parts[one.part])
    dead = known[state].dead if state in known else ()
    for port in ports.gauge_ports(circuit):
        if ports.valve(circuit, port)[0] == one.part and port not in dead and port not in used:
            how += ", gauge port capped"
    return {
        "valve.name": _capital(name),
        "valve.state": state,
        "valve.how": how,
        "valve.shut": state,
        "valve.opened": settings.opened(circuit, one.part),
    }


def _port(hookups: Hookups, port: str) -> dict[str, str]:
    """How a port is shut with a hose on it, opened to it, and closed when nothing is joined."""
    circuit, gauge = hookups.made, hookups.evacuation.gauge
    name = names.service_port(circuit, port)
    tee = gauge is not None and gauge.tee and gauge.port == port
    if ports.kind(circuit, port) == ports.CORED:
        shut, opened, closed = (
            f"Core tool shut: {name}",
            f"Core tool open: {name}",
            "Core in, capped",
        )
    else:
        valve, state = ports.valve(circuit, port)
        called = _capital(names.part(circuit, valve)) if valve else ""
        shut = f"{called} {state}" if valve and not tee else f"Valve at the hose shut: {name}"
        opened = f"{called} {settings.opened(circuit, valve)}" if valve else f"Hose open: {name}"
        closed = "Capped"
    return {"port.name": name, "port.shut": shut, "port.opened": opened, "port.closed": closed}


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]
