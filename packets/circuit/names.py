"""Words for places of a circuit: parts, lines, ports, joints and open ends."""

from __future__ import annotations

from packets.model.circuits import CircuitPlan
from packets.model.hookups import End

_PORTS = {"in": "inlet", "out": "outlet"}


def part(circuit: CircuitPlan, id: str) -> str:
    """What a part is called on paper."""
    return circuit.parts[id].name or id.replace("-", " ")


def line(circuit: CircuitPlan, id: str) -> str:
    """What a line is called on paper."""
    return circuit.lines[id].name or id.replace("-", " ")


def element(circuit: CircuitPlan, id: str) -> str:
    """What a part or a line is called on paper."""
    return part(circuit, id) if id in circuit.parts else line(circuit, id)


def service_port(circuit: CircuitPlan, id: str) -> str:
    """What a service port is called on paper."""
    return circuit.service_ports[id].name or id.replace("-", " ")


def joint(circuit: CircuitPlan, id: str) -> str:
    """A joint, by its part and port, e.g. "compressor suction"."""
    owner, _, port = id.partition(".")
    return f"{part(circuit, owner)} {_PORTS.get(port, port.replace('-', ' '))}"


def end(circuit: CircuitPlan, end: End) -> str:
    """An open end, e.g. "pipe end at the compressor suction", "compressor, its suction".

    A pipe end is called by the port it belongs to: one line may end at both ports of a part.
    """
    if end.owner == "stub":
        return f"cut stub at the {joint(circuit, end.joint)}"
    if end.owner in circuit.lines:
        return f"pipe end at the {joint(circuit, end.joint)}"
    owner, _, port = end.joint.partition(".")
    if owner != end.owner:  # two ports that meet without a line: called by the other part's port
        for direct in circuit.lines.values():
            if direct.direct and direct.from_ == end.joint:
                port = direct.to.partition(".")[2]
    return f"{part(circuit, end.owner)}, its {_PORTS.get(port, port.replace('-', ' '))}"
