"""What kind of service port each one is: how it is opened and what shuts it."""

from __future__ import annotations

from packets.circuit import kinds
from packets.model.circuits import CircuitPlan

CORED, GAUGE, TUBE = "cored", "gauge-port", "process-tube"


def kind(circuit: CircuitPlan, port: str) -> str:
    """The kind of a service port: `cored`, `gauge-port` or `process-tube`.

    A file that states no kind but `core: false` means a port without a core. A valve's state that
    shuts it off makes it the gauge port of that valve; without one only a pinched tube holds the
    charge behind it.
    """
    stated = circuit.service_ports[port]
    if stated.kind:
        return stated.kind
    if stated.core:
        return CORED
    return GAUGE if valve(circuit, port)[0] else TUBE


def valve(circuit: CircuitPlan, port: str) -> tuple[str, str]:
    """The valve that shuts a gauge port off, and the state in which it does and stays open to the
    pipe; two empty texts where no valve has such a state."""
    for name, part in circuit.parts.items():
        for state, means in kinds.states(part).items():
            if means.open and port in means.dead:
                return name, state
    return "", ""


def tubes(circuit: CircuitPlan) -> tuple[str, ...]:
    """The service ports that are process tubes."""
    return tuple(port for port in circuit.service_ports if kind(circuit, port) == TUBE)


def gauge_ports(circuit: CircuitPlan) -> tuple[str, ...]:
    """The service ports that a back-seating valve opens and shuts."""
    return tuple(port for port in circuit.service_ports if kind(circuit, port) == GAUGE)
