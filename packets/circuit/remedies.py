"""A joint that no nitrogen passes: why, and what would change that. Each remedy is tried first."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from itertools import combinations, islice

from packets.circuit import kinds, names
from packets.circuit.openings import Made
from packets.circuit.order import Order
from packets.circuit.routes import Finder, Grade
from packets.model.circuits import CircuitPlan, Problem, ServicePort
from packets.model.hookups import Opened

Ordering = Callable[[CircuitPlan, Opened], Order]
Change = tuple[str, CircuitPlan, Opened]

_MOST = 2  # remedies named for each kind of change
_PAIRS = 24  # pairs of ports tried where no single change helps


def no_route(circuit: CircuitPlan, opened: Opened, order: Order, ordering: Ordering) -> Problem:
    """The problem of the first joint that gets no gas, with what would help.

    `ordering` sets a changed circuit or job up for a trial.
    """
    made = order.furthest(Grade.HOSE)
    joint = next(joint for joint in order.joints if joint not in made)
    owner = joint.partition(".")[0]
    fixes = [
        words
        for changes in (_ports, _positions, _opened, _parts)
        for words in _working(changes(circuit, opened), ordering)
    ]
    if not fixes:
        fixes = list(islice(_working(islice(_pairs(circuit, opened), _PAIRS), ordering), 1))
    return Problem(
        "no-route",
        ("parts", owner),
        f"no nitrogen passes the joint {names.joint(circuit, joint)}:"
        f" {_why(circuit, order.finder, made, joint)}",
        "; or ".join(fixes)
        or "no valve, no part taken out and no two ports more make a route: make this joint"
        " without a flame",
    )


def _working(changes: Iterator[Change], ordering: Ordering) -> Iterator[str]:
    count = 0
    for words, circuit, opened in changes:
        if count == _MOST:
            return
        order = ordering(circuit, opened)
        if len(order.furthest(Grade.HOSE)) == len(order.joints):
            count += 1
            yield words


def _why(circuit: CircuitPlan, finder: Finder, made: Made, joint: str) -> str:
    openings = finder.openings
    usable = {
        port for put in range(len(openings.puts)) for port in openings.ports(made, joint, put)
    }
    if not usable:
        return "no service port can be used"
    reaching = [port for port in sorted(usable) if _reaches(finder, made, joint, port)]
    if not reaching:
        return "no service port reaches it"
    if len(usable) == 1 and not openings.open_ends(made, joint):
        return "the gas that comes in has no outlet"
    ports = " and ".join(names.service_port(circuit, port) for port in reaching)
    return f"gas from the {ports} has no way out beyond it, or goes round it"


def _reaches(finder: Finder, made: Made, joint: str, port: str) -> bool:
    openings = finder.openings
    for put in range(len(openings.puts)):
        for world in openings.worlds(put):
            flood = world.zones.flood(world.zones.of(openings.chamber(port)), made)
            if flood & (world.zones.sides(joint)[0] | world.zones.sides(joint)[1]):
                return True
    return False


def _ports(circuit: CircuitPlan, opened: Opened) -> Iterator[Change]:
    """A service port on a line that has none."""
    for name in _bare(circuit):
        ports = {**circuit.service_ports, "port-fitted": ServicePort(name)}
        words = f"fit a service port on the {names.line(circuit, name)}"
        yield words, replace(circuit, service_ports=ports), opened


def _bare(circuit: CircuitPlan) -> list[str]:
    """Lines that have no service port and could have one; behind a metering device, where a branch
    upsets how the evaporator is fed, only after all others."""
    taken = {service.on for service in circuit.service_ports.values()}
    bare = [name for name, line in circuit.lines.items() if not line.direct and name not in taken]

    def fed(name: str) -> bool:
        return circuit.parts[circuit.lines[name].from_.partition(".")[0]].kind == "metering"

    return sorted(bare, key=fed)


def _pairs(circuit: CircuitPlan, opened: Opened) -> Iterator[Change]:
    """Two service ports, on lines of two sides first."""
    sides = {name: circuit.lines[name].side for name in _bare(circuit)}
    order = {name: at for at, name in enumerate(sides)}
    pairs = sorted(
        combinations(sides, 2),
        key=lambda two: (sides[two[0]] == sides[two[1]], order[two[1]], order[two[0]]),
    )
    for one, other in pairs:
        fitted = {"port-fitted": ServicePort(one), "port-fitted-2": ServicePort(other)}
        lines = names.joined([f"the {names.line(circuit, name)}" for name in (one, other)])
        words = f"fit a service port each on {lines}"
        yield words, replace(circuit, service_ports={**circuit.service_ports, **fitted}), opened


def _positions(circuit: CircuitPlan, opened: Opened) -> Iterator[Change]:
    """To know where a valve stands that nobody can set."""
    for name, part in circuit.parts.items():
        if kinds.set_with(part):
            continue
        for state in kinds.stands(part) if len(kinds.stands(part)) > 1 else ():
            parts = {**circuit.parts, name: replace(part, stands=(state,))}
            called = names.part(circuit, name)
            words = f"make sure that the {called} stands at {state}, and state it"
            yield words, replace(circuit, parts=parts), opened


def _opened(circuit: CircuitPlan, opened: Opened) -> Iterator[Change]:
    """A valve held open that has nothing to set it."""
    for name, part in circuit.parts.items():
        if kinds.set_with(part) or all(state.open for state in kinds.states(part).values()):
            continue
        parts = {**circuit.parts, name: replace(part, set_with="stem")}
        words = f"hold the {names.part(circuit, name)} open, and state with what"
        yield words, replace(circuit, parts=parts), opened


def _parts(circuit: CircuitPlan, opened: Opened) -> Iterator[Change]:
    """Another part taken out as well, and brazed in last: it opens the loop."""
    for name, part in circuit.parts.items():
        if name not in opened.out and kinds.kind(part).in_line:
            wider = replace(opened, out=(*opened.out, name))
            yield f"take the {names.part(circuit, name)} out too", circuit, wider
