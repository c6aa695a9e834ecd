"""The unbraze plan: joints taken apart hot, so that nobody reaches past hot copper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from packets.circuit import graph as graphs
from packets.circuit import names
from packets.circuit.detail import route
from packets.circuit.openings import Openings
from packets.circuit.routes import Finder, Grade, Hookup
from packets.model.circuits import CircuitPlan, Problem, ServicePort
from packets.model.hookups import LineSize, UnbrazePlan, UnbrazeStep

_HEIGHTS = ("low", "middle", "high")
_DEPTHS = ("back", "middle", "front")
_FIXES = 2


def unbraze_plan(
    circuit: CircuitPlan,
    joints: Iterable[str],
    cut: Iterable[str] = (),
    sizes: Mapping[str, LineSize] | None = None,
) -> UnbrazePlan:
    """Lowest joint first, of equal ones the farthest in, each with nitrogen past it.

    `cut` parts have been cut out cold: what is left of them are stubs on their lines, open at the
    cut. Where the order leaves a joint without a route there is a problem, never another order:
    reach counts more than scale.
    """
    graph = graphs.build(circuit, tuple(cut))
    wanted = tuple(dict.fromkeys(graph.joint_of.get(joint, joint) for joint in joints))
    unknown = tuple(
        Problem(
            "unknown-joint",
            ("lines",),
            f"no joint is called {joint!r}",
            "name it by part and port, e.g. compressor.suction",
        )
        for joint in wanted
        if joint not in graph.joints
    )
    if unknown:
        return UnbrazePlan((), unknown)
    order = sorted(wanted, key=lambda joint: _rank(circuit, joint))
    leaving = frozenset(
        part
        for part in circuit.parts
        if part not in graph.cut and set(graph.joints_at(part)) <= set(wanted)
    )
    finder = Finder(Openings(graph, tuple(order), leaving, sizes or {}))
    return _plan(circuit, finder, order)


def _plan(circuit: CircuitPlan, finder: Finder, order: list[str]) -> UnbrazePlan:
    steps: list[UnbrazeStep] = []
    problems: list[Problem] = []
    last: Hookup | None = None
    left = list(order)
    while left:
        joint, hookup = _next(circuit, finder, left, last)
        left.remove(joint)
        whole = frozenset(left)
        if hookup is None:
            problems.append(_no_route(circuit, finder, whole, joint))
        found = None if hookup is None else route(finder, whole, joint, hookup)
        steps.append(UnbrazeStep(joint, *place(circuit, joint), found))
        last = hookup or last
    return UnbrazePlan(tuple(steps), tuple(problems))


def _next(
    circuit: CircuitPlan, finder: Finder, left: list[str], last: Hookup | None
) -> tuple[str, Hookup | None]:
    """Of the joints that lie equally low and far in, the one with the best hook-up."""
    first = _rank(circuit, left[0])[:2]
    level = [joint for joint in left if _rank(circuit, joint)[:2] == first]
    found = [
        (joint, hookup)
        for joint in level
        for hookup in finder.hookups(frozenset(left) - {joint}, joint)
    ]
    if not found:
        return level[0], None
    return min(found, key=lambda one: (*_change(one[1], last), one[0]))


def _change(hookup: Hookup, last: Hookup | None) -> tuple[int, int, tuple[str, str, int]]:
    changed = 0
    if last is not None:
        changed = 2 * (hookup.inlet != last.inlet) + (hookup.vent != last.vent)
        changed += 2 * (hookup.put != last.put)
    return 2 * int(hookup.grade) + hookup.lifts, changed, hookup.key


def place(circuit: CircuitPlan, joint: str) -> tuple[str, str]:
    """Height and depth of a joint: its own, or those of its part."""
    owner, _, port = joint.partition(".")
    part = circuit.parts[owner]
    own = part.reach.get(port)
    return (own and own.height) or part.height, (own and own.depth) or part.depth


def _rank(circuit: CircuitPlan, joint: str) -> tuple[int, int, str]:
    height, depth = place(circuit, joint)
    return _HEIGHTS.index(height), _DEPTHS.index(depth), joint


def _no_route(circuit: CircuitPlan, finder: Finder, whole: frozenset[str], joint: str) -> Problem:
    fixes = list(_ports(circuit, finder, whole, joint))[:_FIXES]
    return Problem(
        "no-route",
        ("parts", joint.partition(".")[0]),
        f"no nitrogen passes the joint {names.joint(circuit, joint)} while it is taken apart",
        "; or ".join(fixes) or "cut the line on the far side of the joint, and vent there",
    )


def _ports(
    circuit: CircuitPlan, finder: Finder, whole: frozenset[str], joint: str
) -> Iterator[str]:
    """Lines on which one more service port makes a route, each tried."""
    for name, line in circuit.lines.items():
        if line.direct or any(port.on == name for port in circuit.service_ports.values()):
            continue
        ports = {**circuit.service_ports, "port-fitted": ServicePort(name)}
        graph = graphs.build(replace(circuit, service_ports=ports), finder.openings.graph.cut)
        tried = Finder(replace(finder.openings, graph=graph))
        if any(hookup.grade < Grade.PRESSED for hookup in tried.hookups(whole, joint)):
            yield f"fit a service port on the {names.line(circuit, name)}"
