"""Which side of the circuit a service port is on."""

from __future__ import annotations

from packets.model.circuits import CircuitPlan

_RANK = {"low": 0, "high": 2}


def side(circuit: CircuitPlan, port: str) -> str:
    """The side of the circuit a service port is on: high, low or both."""
    on = circuit.service_ports[port].on
    line = circuit.lines.get(on)
    if line is not None:
        return line.side or "both"
    met = [each for each in circuit.lines.values() if on in (each.from_, each.to)]
    sides = {each.side for each in met if each.side}
    return sides.pop() if len(sides) == 1 else circuit.parts[on.partition(".")[0]].side


def low_port(circuit: CircuitPlan, taken: str) -> str:
    """The port at which the low side is read while `taken` is in use: one of the low side, else
    one that changes sides, else the port taken; "" where there is none."""
    free = [port for port in circuit.service_ports if port != taken]
    ranked = sorted(free, key=lambda port: _RANK.get(side(circuit, port), 1))
    return next((port for port in ranked if side(circuit, port) != "high"), taken)


def liquid_valve(circuit: CircuitPlan) -> str:
    """The service valve of the high side that stops the liquid line when it is shut; "" for none.

    Shut behind the metering device it would only stop the low side, so the part must stand on the
    high side and a line of liquid must reach it.
    """
    for name, part in circuit.parts.items():
        if part.kind != "service-valve" or part.side != "high":
            continue
        reached = (line for line in circuit.lines.values() if line.to.partition(".")[0] == name)
        if any(line.liquid and line.side != "low" for line in reached):
            return name
    return ""
