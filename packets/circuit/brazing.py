"""The braze plan: every joint of a job in order, each with its inlet, vent, caps and valves."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace

from packets.circuit import graph as graphs
from packets.circuit import kinds, remedies
from packets.circuit.detail import route
from packets.circuit.openings import Openings
from packets.circuit.order import Order, Placed
from packets.circuit.routes import Finder, Grade
from packets.model.circuits import CircuitPlan, Problem
from packets.model.hookups import BrazePlan, BrazeStep, LineSize, Opened, Route


def braze_plan(
    circuit: CircuitPlan, opened: Opened, sizes: Mapping[str, LineSize] | None = None
) -> BrazePlan:
    """The order of the joints and the nitrogen route of each.

    `circuit` has passed `check` and carries the machine's differences; `opened` names the parts
    that are out, every joint of which is made again, and other joints taken apart; `sizes` are the
    lines whose bore and length are known. Either every joint has its route, or there are problems
    that say what would make one.
    """
    wrong = _unknown(circuit, opened)
    if wrong:
        return BrazePlan((), wrong)
    order = _order(circuit, opened, sizes)
    if not order.joints:
        return BrazePlan((), ())
    placed = order.best()
    if not placed:
        return BrazePlan((), (remedies.no_route(circuit, opened, order, _order),))
    trimmed = Order(Finder(_trimmed(order.finder.openings, placed)), order.screwed)
    return BrazePlan(tuple(_step(trimmed, one) for one in placed), ())


def routes_for(
    circuit: CircuitPlan,
    opened: Opened,
    made: Iterable[str],
    joint: str,
    sizes: Mapping[str, LineSize] | None = None,
) -> tuple[Route, ...]:
    """Every route past one joint with all valves open, when the joints `made` are done already."""
    openings = _openings(circuit, opened, sizes or {})
    finder, done = Finder(openings), frozenset(made)
    return tuple(
        route(finder, done, joint, hookup)
        for hookup in finder.hookups(done, joint)
        if hookup.grade < Grade.PRESSED
    )


def _openings(circuit: CircuitPlan, opened: Opened, sizes: Mapping[str, LineSize]) -> Openings:
    graph = graphs.build(circuit)
    joints = [joint for part in opened.out for joint in graph.joints_at(part)]
    joints += [graph.joint_of[joint] for joint in opened.joints]
    return Openings(graph, tuple(dict.fromkeys(joints)), frozenset(opened.out), sizes)


def _order(
    circuit: CircuitPlan, opened: Opened, sizes: Mapping[str, LineSize] | None = None
) -> Order:
    openings = _openings(circuit, opened, sizes or {})
    screwed = frozenset(openings.graph.joint_of[joint] for joint in opened.screwed)
    return Order(Finder(openings), screwed)


def _unknown(circuit: CircuitPlan, opened: Opened) -> tuple[Problem, ...]:
    ports = {f"{name}.{port}" for name, part in circuit.parts.items() for port in part.ports}
    problems = [
        Problem(
            "unknown-part",
            ("parts",),
            f"no part is called {part!r}",
            f"parts: {', '.join(sorted(circuit.parts))}",
        )
        for part in opened.out
        if part not in circuit.parts
    ]
    problems += [
        Problem(
            "unknown-joint",
            ("lines",),
            f"no joint is called {joint!r}",
            "name it by part and port, e.g. compressor.suction",
        )
        for joint in (*opened.joints, *opened.screwed)
        if joint not in ports
    ]
    return tuple(problems)


def _trimmed(openings: Openings, placed: tuple[Placed, ...]) -> Openings:
    """Leave every valve as it stands that needs no setting: fewer things to do and to undo."""
    circuit = openings.graph.circuit
    for valve in list(openings.puts[0]):
        opened = openings.puts[0][valve]
        if (opened,) == kinds.stands(circuit.parts[valve]):
            continue
        puts = tuple(
            {name: state for name, state in put.items() if name != valve or state != opened}
            for put in openings.puts
        )
        fewer = replace(openings, puts=puts)
        finder = Finder(fewer)
        if all(_as_good(finder, one) for one in placed):
            openings = fewer
    return openings


def _as_good(finder: Finder, one: Placed) -> bool:
    """Whether a joint's hook-up still does, and has nothing more to lift."""
    if one.hookup is None:
        return True
    again = finder.again(one.made, one.joint, one.hookup)
    return again is not None and again.grade is one.hookup.grade and again.lifts <= one.hookup.lifts


def _step(order: Order, one: Placed) -> BrazeStep:
    graph = order.graph
    parts = graph.joints[one.joint].parts
    owner = next((part for part in parts if part in order.out), parts[0])
    return BrazeStep(
        joint=one.joint,
        part=owner,
        in_the_open=order.in_the_open(one.made, one.joint),
        waiting=tuple(sorted(order.finder.openings.absent(one.made, one.joint))),
        route=None if one.hookup is None else route(order.finder, one.made, one.joint, one.hookup),
    )
