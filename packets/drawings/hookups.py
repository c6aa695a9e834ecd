"""The drawings of a job, each from the board and the plan it shows."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence

from packets.circuit import names
from packets.drawings import trail, words
from packets.drawings.arranging import finish
from packets.drawings.board import Board
from packets.drawings.drawing import Drawing
from packets.drawings.gear import CHARGING, GAUGE, NITROGEN, PUMP, RECOVERY
from packets.drawings.labels import Words
from packets.drawings.picture import Mouth, Picture
from packets.drawings.shapes import BLACK, WHITE
from packets.drawings.sheet import BESIDE
from packets.model.hookups import (
    BrazeStep,
    End,
    EvacuationPlan,
    Inlet,
    PortUse,
    RecoveryPlan,
    Route,
    UnbrazeStep,
    ValveSetting,
    Vent,
)


def clean(board: Board) -> Drawing:
    """The circuit by itself: every part and service port named, the flow in small arrows."""
    picture = Picture(board)
    picture.lines(arrows=True)
    picture.symbols()
    picture.taps()
    for part in board.circuit.parts:
        picture.name(part, needed=True, bold=True)
    for port in board.taps:
        picture.say_at(port, ((names.service_port(board.circuit, port), False),), 30)
    ports = words.listed(names.service_port(board.circuit, port) for port in board.taps)
    said = words.sentence(
        "the circuit in the order of flow: "
        + ", ".join(names.part(board.circuit, part) for part in board.circuit.parts),
        f"service ports: {ports}" if ports else "no service port",
    )
    return finish(picture, f"Circuit: {board.circuit.title}", said)


def braze(board: Board, step: BrazeStep, number: str = "1") -> Drawing:
    """One joint being brazed, with the nitrogen that passes it."""
    return braze_group(board, (step,), (number,))


def braze_group(board: Board, steps: Sequence[BrazeStep], numbers: Sequence[str]) -> Drawing:
    """Joints made one after the other on one hook-up; see `grouping`."""
    circuit, last = board.circuit, steps[-1]
    joints = [step.joint for step in steps]
    past = list(zip(joints, numbers, strict=True))
    said = listed_joints(board, past)
    if last.route is None:
        picture = _picture(board, last.waiting, ())
        _base(picture)
        for joint, number in past:
            picture.ring(joint, number)
        _names(picture, {step.part for step in steps})
        return finish(picture, f"Screw {said}", words.sentence("no flame and no gas"))
    picture = _with_route(board, last.route, last.waiting, past)
    _names(picture, {step.part for step in steps}, last.route.valves, _spoken(board, last.route))
    text = " ".join(
        part
        for part in (
            words.route(circuit, last.route, past),
            words.waiting(circuit, [last]),
            "Joints not yet made keep their plugs on." if len(steps) > 1 else "",
        )
        if part
    )
    return finish(picture, f"Braze {said}", text)


def unbraze(
    board: Board, steps: Sequence[UnbrazeStep], at: int, cut: Collection[str] = (), number: str = ""
) -> Drawing:
    """Joint number `at` of an unbraze plan, those before it open, `cut` parts cut out cold."""
    step, done = steps[at], {one.joint for one in steps[:at]}
    gone = set(cut) | {
        part
        for part, each in board.circuit.parts.items()
        if {trail.joint_of(board, f"{part}.{port}") for port in each.ports} <= done
    }
    past = [(step.joint, number or str(at + 1))]
    title = f"Unbraze {listed_joints(board, past)}"
    owner = step.joint.partition(".")[0]
    if step.route is None:
        picture = _picture(board, gone, ())
        _base(picture)
        picture.ring(*past[0])
        _names(picture, {owner})
        return finish(picture, title, words.sentence("no nitrogen passes this joint"))
    picture = _with_route(board, step.route, gone, past)
    _names(picture, {owner}, step.route.valves, _spoken(board, step.route))
    away = words.listed(
        names.part(board.circuit, part) for part in board.circuit.parts if part in gone
    )
    text = words.route(board.circuit, step.route, past)
    return finish(picture, title, text + (f" Dashed, taken out: {away}." if away else ""))


def recovery(board: Board, plan: RecoveryPlan) -> Drawing:
    """Recovery machine on its ports, valves that must be open."""
    picture = _picture(board, (), ())
    _base(picture)
    uses = (*plan.liquid, *(one for one in plan.vapor if one not in plan.liquid))
    for use in uses:
        first = "1 Liquid" if use in plan.liquid else "2 Vapor" if plan.liquid else "Vapor"
        _port(picture, use, first)
    if uses:
        picture.gear(RECOVERY, [_mouth(board, use.port) for use in uses], "out")
    _names(picture, (), plan.valves)
    return finish(picture, "Recovery", words.recovery(board.circuit, plan))


def hold(board: Board, ports: Sequence[str], valves: Sequence[ValveSetting] = ()) -> Drawing:
    """Nitrogen let in by ports on both sides for the pressure hold."""
    picture = _picture(board, (), ())
    _base(picture)
    for port in ports:
        _port(picture, PortUse(port), "Nitrogen in")
    picture.gear(NITROGEN, [_mouth(board, port) for port in ports], "in")
    _names(picture, (), valves)
    named = words.listed(names.service_port(board.circuit, port) for port in ports)
    said = words.sentence(f"nitrogen in at {named}", words.valves(board.circuit, valves))
    return finish(picture, "Pressure hold", said)


def evacuation(board: Board, plan: EvacuationPlan) -> Drawing:
    """Pump and gauge on their ports; heavy, the way from the place farthest from the pump."""
    picture = _picture(board, (), ())
    _base(picture)
    for use in plan.pumped:
        tee = plan.gauge is not None and plan.gauge.tee and plan.gauge.port == use.port
        _port(picture, use, "Pump and gauge" if tee else "Pump")
    if plan.pumped:
        picture.gear(PUMP, [_mouth(board, use.port) for use in plan.pumped], "out")
    if plan.gauge and not plan.gauge.tee:
        _port(picture, PortUse(plan.gauge.port), "Gauge")
        picture.gear(GAUGE, [_mouth(board, plan.gauge.port)])
    elif plan.gauge:
        picture.gear(GAUGE, [_branch(picture, plan.gauge.port)])
    _names(picture, (), plan.valves)
    return finish(picture, "Evacuation", words.evacuation(board.circuit, plan))


def charging(board: Board, port: str, valves: Sequence[ValveSetting] = ()) -> Drawing:
    """The charging cylinder on its scale, joined to one port."""
    picture = _picture(board, (), ())
    _base(picture)
    _port(picture, PortUse(port), "Charge in")
    picture.gear(CHARGING, [_mouth(board, port)], "in")
    _names(picture, (), valves)
    named = names.service_port(board.circuit, port)
    said = words.sentence(f"charge by weight into {named}", words.valves(board.circuit, valves))
    return finish(picture, "Charging", said)


# ---- common parts


def listed_joints(board: Board, past: Sequence[tuple[str, str]]) -> str:
    """Joints with their numbers."""
    return words.listed(
        f"joint {number}: {names.joint(board.circuit, one)}" for one, number in past
    )


def _picture(board: Board, gone: Collection[str], ends: Iterable[End]) -> Picture:
    opened = {
        (end.joint, end.owner if end.owner != "stub" else end.joint.partition(".")[0])
        for end in ends
    }
    return Picture(board, frozenset(gone), opened)


def _base(picture: Picture) -> None:
    picture.lines()
    picture.symbols()
    picture.taps()


def _with_route(
    board: Board, route: Route, gone: Collection[str], past: Sequence[tuple[str, str]]
) -> Picture:
    """Circuit, route, caps, inlet and vent; words for all but the parts."""
    sides = [side.end for side in (route.inlet, route.vent) if side.end]
    picture = _picture(board, gone, [*route.caps, *route.keep_closed, *sides])
    picture.lines()
    joints = [joint for joint, _ in past]
    if route.beside:
        picture.route(route.beside, joints, BESIDE, 0.5)
    picture.route(route.legs, joints)
    picture.symbols()
    picture.taps()
    for end in route.caps:
        picture.say((("Cap", True),), picture.cap(end, BLACK), 80)
    for end in route.keep_closed:
        picture.cap(end, WHITE)
    for joint, number in past:
        picture.ring(joint, number)
    _vent(picture, route.vent)
    _inlet(picture, route.inlet)
    return picture


def _vent(picture: Picture, vent: Vent) -> None:
    board = picture.board
    if vent.port:
        mouth, look = _mouth(board, vent.port)
        box = picture.outlet(mouth, look, straight=True)
        picture.say_at(vent.port, _said(board, PortUse(vent.port, vent.core_out), "Vent"), 70, box)
    elif vent.end:
        picture.cap(vent.end, WHITE)
        at, look = trail.end_of(board, vent.end)
        box = picture.outlet(at, look, straight=False)
        picture.say((("Vented cap", True),), box, 70)


def _inlet(picture: Picture, inlet: Inlet) -> None:
    board = picture.board
    if inlet.port:
        picture.gear(NITROGEN, [_mouth(board, inlet.port)], "in")
        _port(picture, PortUse(inlet.port, inlet.core_out), "Nitrogen in")
    elif inlet.end:
        at, look = trail.end_of(board, inlet.end)
        node = (round(at[0]), round(at[1]))
        part = inlet.end.joint.partition(".")[0]
        if inlet.end.owner == "stub" and picture.covers(part, node):
            picture.clear(part)
        side = min(
            ((look[1], look[0]), (-look[1], -look[0])),
            key=lambda way: (picture.shut(node, way), picture.crowd(node, way)),
        )
        picture.gear(NITROGEN, [(node, side)], "in")
        picture.say((("Nitrogen in, hose held on", True),), picture.end_box(inlet.end), 70)


def _port(picture: Picture, use: PortUse, what: str) -> None:
    picture.say_at(use.port, _said(picture.board, use, what))


def _said(board: Board, use: PortUse, what: str) -> Words:
    """What a service port is used for, whether its core is out, its name."""
    head = f"{what}, core out" if use.core_out else what
    return (head, True), (names.service_port(board.circuit, use.port), False)


def _mouth(board: Board, port: str) -> Mouth:
    tap = board.taps[port]
    return tap.mouth, (tap.mouth[0] - tap.at[0], tap.mouth[1] - tap.at[1])


def _branch(picture: Picture, port: str) -> Mouth:
    """The side branch of the core tool on a port, on the side where there is most room."""
    mouth, look = _mouth(picture.board, port)
    sides = ((look[1], look[0]), (-look[1], -look[0]))
    return mouth, min(sides, key=lambda way: (picture.shut(mouth, way), picture.crowd(mouth, way)))


def _spoken(board: Board, route: Route) -> set[str]:
    """Parts whose names the route speaks of."""
    ends = [*route.caps, *route.keep_closed]
    ends += [side.end for side in (route.inlet, route.vent) if side.end]
    return {end.joint.partition(".")[0] for end in ends} | set(route.against) | set(route.lifts)


def _names(
    picture: Picture,
    parts: Collection[str],
    valves: Sequence[ValveSetting] = (),
    spoken: Collection[str] = (),
) -> None:
    """Names: bold for the parts worked on and for valves, with the state those are set to."""
    states = {one.part: words.state(one) for one in valves}
    for part in picture.board.circuit.parts:
        needed = picture.board.size.every_name or part in parts or part in states or part in spoken
        if part in states:
            picture.name(part, True, (states[part], True))
        else:
            picture.name(part, needed, bold=part in parts)
