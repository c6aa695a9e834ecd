"""A machine that differs from its circuit file: the same circuit with the differences worked in."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace

from packets.circuit import kinds
from packets.circuit.branches import repeat
from packets.circuit.edits import Wrong, known, new, part_line
from packets.findings import suggest
from packets.model.circuits import CircuitPart, CircuitPlan, Difference, Problem, ServicePort

_CHANGED = (
    "kind", "name", "device", "passes", "states", "stands", "set_with", "side", "height", "depth",
    "tight", "at",
)  # fmt: skip


def apply(
    circuit: CircuitPlan, differences: Sequence[Difference]
) -> tuple[CircuitPlan, tuple[Problem, ...]]:
    """The circuit of a machine, and what was wrong with its differences.

    Differences are worked in one after the other; one that is wrong is left out and named, with a
    path of ("differences", number, key). The result still has to pass `check`.
    """
    problems: list[Problem] = []
    for at, difference in enumerate(differences):
        try:
            circuit = _one(circuit, difference)
        except Wrong as wrong:
            path = ("differences", at, wrong.key)
            problems.append(Problem(wrong.code, path, wrong.message, wrong.fix))
    return circuit, tuple(problems)


def _one(circuit: CircuitPlan, difference: Difference) -> CircuitPlan:
    wanted = [key for key in _WORK if getattr(difference, key)]
    if len(wanted) != 1:
        raise Wrong(
            "difference-unclear",
            wanted[1] if wanted else "add",
            "a difference does one thing",
            f"write one of {', '.join(_WORK)}",
        )
    return _WORK[wanted[0]](circuit, difference)


def _add(circuit: CircuitPlan, difference: Difference) -> CircuitPlan:
    """A new part in a line: the line ends at it, and a second one goes on from it."""
    name, line = difference.add, difference.in_
    new(circuit, name, "add")
    known(line, circuit.lines, "in", "line")
    if difference.kind not in kinds.KINDS:
        raise Wrong(
            "unknown-kind",
            "kind",
            f"no kind of part is called {difference.kind!r}",
            suggest(difference.kind, kinds.KINDS),
        )
    ports = difference.ports or ("in", "out")
    if len(ports) != 2:
        raise Wrong("ports-not-two", "ports", f"{name} stands in a line", "give it two ports")
    part = CircuitPart(
        kind=difference.kind,
        ports=ports,
        at=difference.at,
        name=difference.name,
        device=difference.device,
        passes=difference.passes,
        states=difference.states,
        stands=difference.stands,
        set_with=difference.set_with,
        side=difference.side or circuit.lines[line].side or "both",
        height=difference.height or "middle",
        depth=difference.depth or "middle",
        tight=difference.tight,
    )
    parted = part_line(circuit, line, f"{name}.{ports[0]}", f"{name}.{ports[1]}", f"{line}-2")
    return replace(parted, parts={**parted.parts, name: part})


def _remove(circuit: CircuitPlan, difference: Difference) -> CircuitPlan:
    name = difference.remove
    if name in circuit.service_ports:
        return _without_ports(circuit, {name})
    known(name, [*circuit.parts, *circuit.service_ports], "remove", "part")
    into = [line for line, each in circuit.lines.items() if each.to.startswith(f"{name}.")]
    on = [line for line, each in circuit.lines.items() if each.from_.startswith(f"{name}.")]
    if len(circuit.parts[name].ports) != 2 or len(into) != 1 or len(on) != 1 or into == on:
        raise Wrong(
            "part-not-in-line",
            "remove",
            f"{name} does not stand in one line",
            "remove a part with one line in and one line out",
        )
    first, second = circuit.lines[into[0]], circuit.lines[on[0]]
    joined = replace(
        first,
        to=second.to,
        direct=False,
        liquid=first.liquid and second.liquid,
        side=first.side if first.side == second.side else "",
    )
    lines = {
        line: joined if line == into[0] else each
        for line, each in circuit.lines.items()
        if line != on[0]
    }
    gone = {key for key, port in circuit.service_ports.items() if port.on.startswith(f"{name}.")}
    services = {
        key: replace(port, on=into[0]) if port.on == on[0] else port
        for key, port in circuit.service_ports.items()
    }
    parts = {key: each for key, each in circuit.parts.items() if key != name}
    left = replace(circuit, parts=parts, lines=lines, service_ports=services)
    return _without_ports(left, gone)


def _without_ports(circuit: CircuitPlan, gone: set[str]) -> CircuitPlan:
    """Service ports taken away, also from the states of valves that shut them off."""
    parts = {
        name: replace(
            part,
            states={
                key: replace(state, dead=tuple(port for port in state.dead if port not in gone))
                for key, state in part.states.items()
            },
        )
        for name, part in circuit.parts.items()
    }
    ports = {name: port for name, port in circuit.service_ports.items() if name not in gone}
    return replace(circuit, parts=parts, service_ports=ports)


def _change(circuit: CircuitPlan, difference: Difference) -> CircuitPlan:
    known(difference.change, circuit.parts, "change", "part")
    given = {key: getattr(difference, key) for key in _CHANGED if getattr(difference, key)}
    part = replace(circuit.parts[difference.change], **given)
    return replace(circuit, parts={**circuit.parts, difference.change: part})


def _port(circuit: CircuitPlan, difference: Difference) -> CircuitPlan:
    new(circuit, difference.port, "port")
    if not difference.on:
        raise Wrong(
            "difference-unclear",
            "port",
            f"nothing says where {difference.port} is",
            "add on: the line or the part.port it is on",
        )
    port = ServicePort(
        difference.on, difference.name, difference.near, difference.core, difference.port_kind
    )
    return replace(circuit, service_ports={**circuit.service_ports, difference.port: port})


_WORK: dict[str, Callable[[CircuitPlan, Difference], CircuitPlan]] = {
    "add": _add,
    "remove": _remove,
    "change": _change,
    "port": _port,
    "repeat": repeat,
}
