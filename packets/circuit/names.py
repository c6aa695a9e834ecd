"""Words for places of a circuit, and for what is done there: ports, joints, ends, settings."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from packets.model.circuits import CircuitPlan
from packets.model.hookups import End, Inlet, PortUse, ValveSetting, Vent

# What stands on an open end while gas trickles out of it.
VENTED_CAP = ", vented cap"
_PORTS = {"in": "inlet", "out": "outlet"}
_HOW = {
    "stem": "by its stem",
    "magnet": "coil off, magnet on its stem until it clicks",
    "driver": "by the maker's driver",
    "adjuster": "by its adjuster, turns counted",
}


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


def ports(circuit: CircuitPlan, uses: Iterable[PortUse]) -> str:
    """Ports in a row, e.g. "suction service port and liquid service port"."""
    return joined([service_port(circuit, use.port) for use in uses])


def inlet(circuit: CircuitPlan, where: Inlet) -> str:
    """Where nitrogen comes in, e.g. "suction service port, core out"."""
    if where.end is not None:
        return f"{end(circuit, where.end)}, hose held on"
    return _port(circuit, where.port, where.core_out)


def vent(circuit: CircuitPlan, where: Vent) -> str:
    """Where nitrogen leaves, e.g. "pipe end at the drier inlet, vented cap"."""
    if where.end is None:
        return _port(circuit, where.port, where.core_out)
    return end(circuit, where.end) + VENTED_CAP


def _port(circuit: CircuitPlan, id: str, core_out: bool) -> str:
    return service_port(circuit, id) + (", core out" if core_out else "")


def setting(circuit: CircuitPlan, one: ValveSetting) -> tuple[str, str, str]:
    """A valve to set: what it is called, the state to put it in, and how."""
    return part(circuit, one.part), one.state, _HOW[one.set_with]


def set_valve(circuit: CircuitPlan, one: ValveSetting) -> str:
    """A valve to set in a few words, e.g. "receiver outlet valve mid-seated (by its stem)"."""
    name, state, how = setting(circuit, one)
    return f"{name} {state} ({how})"


def joined(words: Sequence[str]) -> str:
    """Words in a row with "and" before the last."""
    return " and ".join([", ".join(words[:-1]), words[-1]] if len(words) > 2 else words)
