"""What differences are made of: names that must be known or new, and a line in two."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from packets.findings import suggest
from packets.model.circuits import CircuitLine, CircuitPlan


class Wrong(Exception):
    """A difference that cannot be worked in, with the key at fault."""

    def __init__(self, code: str, key: str, message: str, fix: str) -> None:
        super().__init__(message)
        self.code, self.key, self.message, self.fix = code, key, message, fix


def known(name: str, names: Iterable[str], key: str, what: str) -> None:
    """Refuse a name that is none of these."""
    names = list(names)
    if name not in names:
        raise Wrong(
            f"unknown-{what}", key, f"the circuit has no {what} {name!r}", suggest(name, names)
        )


def new(circuit: CircuitPlan, name: str, key: str, fix: str = "give it another name") -> None:
    """Refuse a name that the circuit has already."""
    if name in (*circuit.parts, *circuit.lines, *circuit.service_ports):
        raise Wrong("name-taken", key, f"{name!r} is already in the circuit", fix)


def part_line(
    circuit: CircuitPlan, line: str, ends_at: str, goes_on: str, called: str
) -> CircuitPlan:
    """A line in two: the first half keeps its name, the second is `called`.

    A service port stays with the end it is near, else with the first half.
    """
    new(circuit, called, "in")
    old = circuit.lines[line]
    lines: dict[str, CircuitLine] = {}
    for name, each in circuit.lines.items():
        lines[name] = each
        if name == line:
            words = f"{old.name}, second half" if old.name else ""
            lines[line] = replace(old, to=ends_at, direct=False)
            lines[called] = replace(old, from_=goes_on, name=words, direct=False)
    services = {
        name: replace(port, on=called) if port.on == line and port.near == "to" else port
        for name, port in circuit.service_ports.items()
    }
    return replace(circuit, lines=lines, service_ports=services)
