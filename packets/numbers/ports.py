"""Where things are joined to the machine: ports, valves to open, what can trap liquid, in words."""

from __future__ import annotations

from packets.circuit import names, ports
from packets.circuit.sides import low_port
from packets.model.circuits import CircuitPlan
from packets.model.hookups import Inlet, TrappedLiquid, Vent
from packets.model.numbers import Words
from packets.numbers.context import Context

SOURCE = "worked out from the circuit"


def add(context: Context) -> None:
    """Add the ports.* entries."""
    hookups, circuit = context.hookups, context.hookups.made
    recovery, evacuation = hookups.recovery, hookups.evacuation
    uses = (*recovery.liquid, *recovery.vapor)
    _words(context, "ports.recover", "Recover from", names.ports(circuit, uses))
    first = recovery.liquid or recovery.vapor
    _words(context, "ports.recover_first", "Liquid is recovered from", names.ports(circuit, first))
    then = names.ports(circuit, recovery.vapor) if recovery.liquid and recovery.vapor else ""
    at = f"at the {then}" if then else "there"
    context.register.add(Words("ports.recover_then", "Vapor is recovered", at, SOURCE))
    read = [use.port for use in uses] if len(uses) > 1 else list(circuit.service_ports)
    gauges = names.joined([names.service_port(circuit, port) for port in read])
    _words(context, "ports.gauges", "Gauges on", gauges)
    indoor = any((part.name or id).startswith("indoor") for id, part in circuit.parts.items())
    side = "indoor unit" if indoor else "evaporator"
    context.register.add(Words("machine.air_side", "Where the air is cooled", side, SOURCE))
    records = context.equipment.circuits.values()
    heater = any(record.compressor.crankcase_heater for record in records)
    own = context.record.compressor.crankcase_heater
    night = (
        "run the crankcase heater again before the next start"
        if own
        else "call before the next start"
    )
    context.register.add(Words("start.after_night", "After a night", night, SOURCE))
    others = [f"circuit {mark}" for mark in hookups.others]
    sources = ", ".join([*(["crankcase heater"] if heater else []), "controls", side, *others])
    context.register.add(Words("machine.sources", "Sources beside the disconnect", sources, SOURCE))
    kinds = {part.kind for part in circuit.parts.values()}
    # Behind a suction drier the gauge reads its pressure drop as superheat.
    read_at = "the suction drier's inlet" if "suction-drier" in kinds else "its port"
    context.register.add(Words("ports.suction_read", "Suction is read at", read_at, SOURCE))
    bulb = context.record.metering.device == "txv"
    for id, label, text in (
        ("ports.superheat_at", "Superheat is read at", "the bulb" if bulb else read_at),
        ("ports.superheat_clamped", "Insulated", "bulb and clamp" if bulb else "the clamp"),
    ):
        context.register.add(Words(id, label, text, SOURCE))
    warm = "the receiver and the sump" if "receiver" in kinds else "the sump"
    context.register.add(Words("ports.warm", "Liquid stays longest in", warm, SOURCE))
    _words(context, "ports.evacuate", "Evacuate from", names.ports(circuit, evacuation.pumped))
    gauge = evacuation.gauge
    _words(
        context,
        "ports.gauge",
        "Micron gauge on",
        ""
        if gauge is None
        else f"{_tee(circuit, gauge.port)} at the {names.service_port(circuit, gauge.port)}"
        if gauge.tee
        else names.service_port(circuit, gauge.port),
    )
    cored = [use.port for use in evacuation.pumped if use.core_out]
    broken = [f"core tool at the {names.service_port(circuit, port)}" for port in cored]
    broken += [names.service_port(circuit, use.port) for use in evacuation.pumped]
    _words(context, "ports.nitrogen_in", "Nitrogen into the vacuum", broken[0] if broken else "")
    at = hookups.isolation.port
    text = names.service_port(circuit, at) if at else ""
    _words(context, "ports.open_at", "Opened to the air", text)
    farthest = "" if gauge is None else names.element(circuit, gauge.farthest)
    _words(context, "ports.farthest", "Hardest for the pump to reach", farthest)
    _words(
        context, "ports.hold", "Nitrogen for the hold into", names.ports(circuit, evacuation.pumped)
    )
    charging = names.service_port(circuit, hookups.charging) if hookups.charging else ""
    _words(context, "ports.charge", "Weigh in at", charging)
    read_at = low_port(circuit, hookups.charging)
    text = names.service_port(circuit, read_at) if read_at else ""
    _words(context, "ports.low_gauge", "Low side is read at", text)
    low = hookups.charging_side == "low"
    how = "As vapor only" if low else "High side only"
    context.register.add(Words("ports.charge_how", "Charging goes", how, SOURCE))
    sweep = hookups.sweep
    for id, label, port in (
        ("ports.sweep_in", "Sweep with nitrogen into", sweep.inlet if sweep else ""),
        ("ports.sweep_out", "Sweep out at", sweep.vent if sweep else ""),
    ):
        _words(context, id, label, names.service_port(circuit, port) if port else "")
    beside = [names.part(circuit, name) for name in sweep.beside] if sweep else []
    text = names.joined(beside) or "nothing"
    context.register.add(Words("ports.sweep_beside", "The sweep runs past", text, SOURCE))
    _trapped(context, circuit, recovery.trapped)
    _repairs(context, circuit)


def _tee(circuit: CircuitPlan, port: str) -> str:
    """Where a gauge sits that shares a port with the pump."""
    cored = ports.kind(circuit, port) == ports.CORED
    return "machine side of the core tool" if cored else "tee between the hose's valve and the port"


def _words(context: Context, id: str, label: str, text: str) -> None:
    if text:
        context.register.add(Words(id, label, text, SOURCE))
    else:
        context.register.wait(
            id, context.key("circuit"), "the circuit has no service port that serves"
        )


def _repairs(context: Context, circuit: CircuitPlan) -> None:
    """Where the gas goes when a leaking joint is made again: the circuit is closed by then."""
    ways: dict[str, list[str]] = {}
    for joint, route in context.hookups.repairs:
        way = "no way for the gas, phone"
        if route is not None:
            way = f"in {_place(circuit, route.inlet)}, out {_place(circuit, route.vent)}"
        ways.setdefault(way, []).append(names.joint(circuit, joint))
    told = [f"for {names.joined(joints)} {way}" for way, joints in ways.items()]
    if len(told) > 1:
        told[-1] = f"for the others {list(ways)[-1]}"
    text = (
        f"Its ports now: {'; '.join(told)}; no gas felt, no flame"
        if told
        else "No joint here is heated"
    )
    context.register.add(Words("ports.repair", "Nitrogen when a joint is made again", text, SOURCE))


def _place(circuit: CircuitPlan, where: Inlet | Vent) -> str:
    if where.end is not None:
        return names.end(circuit, where.end)
    return names.service_port(circuit, where.port)


def _trapped(context: Context, circuit: CircuitPlan, trapped: tuple[TrappedLiquid, ...]) -> None:
    """The places where shut valves trap liquid, and what to keep open so that they cannot."""
    between = [
        names.joined([names.part(circuit, part) for part in one.shut])
        for one in trapped
        if not any(set(other.shut) < set(one.shut) for other in trapped)
    ]
    opening = dict.fromkeys(
        names.part(circuit, one.open_one[0].part) for one in trapped if one.open_one
    )
    places = "; ".join(f"between {words}" for words in dict.fromkeys(between))
    _texts = (
        ("ports.trapped", "Liquid can be trapped", places or "between any two shut valves"),
        ("ports.keep_open", "Keep open", names.joined(list(opening)) or "one of them"),
    )
    for id, label, text in _texts:
        context.register.add(Words(id, label, text, SOURCE))
