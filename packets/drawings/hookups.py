"""The drawings of a job, each from the board and the plan it shows."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from packets.circuit import names, standing
from packets.drawings import ends, nitrogen, trail, words
from packets.drawings.arranging import finish
from packets.drawings.board import Board
from packets.drawings.drawing import Drawing
from packets.drawings.gear import CHARGING, GAUGE, NITROGEN, PUMP, RECOVERY, RECOVERY_BURNT
from packets.drawings.picture import Mouth, Picture
from packets.model.hookups import (
    BrazeStep,
    EvacuationPlan,
    PortUse,
    RecoveryPlan,
    Route,
    UnbrazeStep,
    ValveSetting,
)

Settings = Sequence[ValveSetting]


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


def braze(board: Board, step: BrazeStep, number: str = "1", held: Settings = ()) -> Drawing:
    """One joint being brazed, with the nitrogen that passes it; `held` valves were set before."""
    return braze_group(board, (step,), (number,), held)


def braze_group(
    board: Board, steps: Sequence[BrazeStep], numbers: Sequence[str], held: Settings = ()
) -> Drawing:
    """Joints made one after the other on one hook-up; see `grouping`."""
    circuit, last = board.circuit, steps[-1]
    joints = [step.joint for step in steps]
    past = list(zip(joints, numbers, strict=True))
    said, caption = (
        listed_joints(board, past),
        words.caption(board.circuit, board.size, "Joint", past),
    )
    if last.route is None:
        picture = Picture.of(board, last.waiting, ())
        picture.circuit()
        for joint, number in past:
            picture.ring(joint, number)
        _names(picture, {step.part for step in steps})
        return finish(picture, f"Screw {said}", words.sentence("no flame and no gas"), caption)
    picture = nitrogen.past(board, last.route, last.waiting, past)
    way = standing.on_the_way(circuit, last.route, held)
    parts = {step.part for step in steps}
    _names(picture, parts, last.route.valves, _spoken(board, last.route), open_already=way)
    text = " ".join(
        part
        for part in (
            words.route(circuit, last.route, past),
            words.sentence(words.passed(circuit, way)),
            words.waiting(circuit, [last]),
            "Joints not yet made keep their plugs on." if len(steps) > 1 else "",
        )
        if part
    )
    return finish(picture, f"Braze {said}", text, caption)


def unbraze(
    board: Board,
    steps: Sequence[UnbrazeStep],
    at: int,
    cut: Collection[str] = (),
    number: str = "",
    held: Settings = (),
) -> Drawing:
    """Joint number `at` of an unbraze plan, those before it open, `cut` parts cut out cold; `held`
    valves were set before."""
    step, done = steps[at], {one.joint for one in steps[:at]}
    gone = set(cut) | {
        part
        for part, each in board.circuit.parts.items()
        if {trail.joint_of(board, f"{part}.{port}") for port in each.ports} <= done
    }
    past = [(step.joint, number or str(at + 1))]
    title = f"Unbraze {listed_joints(board, past)}"
    owner = step.joint.partition(".")[0]
    caption = words.caption(board.circuit, board.size, "Stub" if owner in cut else "Joint", past)
    if step.route is None:
        picture = Picture.of(board, gone, ())
        picture.circuit()
        picture.ring(*past[0])
        _names(picture, {owner})
        said = words.sentence("no nitrogen passes this joint")
        return finish(picture, title, said, caption)
    picture = nitrogen.past(board, step.route, gone, past)
    way = standing.on_the_way(board.circuit, step.route, held)
    spoken = _spoken(board, step.route)
    _names(picture, {owner}, step.route.valves, spoken, open_already=way)
    away = words.listed(
        names.part(board.circuit, part) for part in board.circuit.parts if part in gone
    )
    text = words.route(board.circuit, step.route, past)
    text += f" {words.sentence(words.passed(board.circuit, way))}" if way else ""
    text += f" Dashed, taken out: {away}." if away else ""
    return finish(picture, title, text, caption)


def recovery(board: Board, plan: RecoveryPlan, burnt: bool = False) -> Drawing:
    """Recovery machine on its ports, valves that must be open; of a burnt circuit through an
    acid-rated drier."""
    picture = Picture.of(board, (), ())
    picture.circuit()
    uses = (*plan.liquid, *(one for one in plan.vapor if one not in plan.liquid))
    for use in uses:
        first = "1 Liquid" if use in plan.liquid else "2 Vapor" if plan.liquid else "Vapor"
        picture.use(use, first, hooked=True)
    if uses:
        gear = RECOVERY_BURNT if burnt else RECOVERY
        picture.gear(gear, [board.mouth(use.port) for use in uses], "out")
    _names(picture, (), plan.valves)
    return finish(picture, "Recovery", words.recovery(board.circuit, plan, burnt))


def hold(board: Board, ports: Sequence[str], valves: Sequence[ValveSetting] = ()) -> Drawing:
    """Nitrogen let in by ports on both sides for the pressure hold."""
    picture = Picture.of(board, (), ())
    picture.circuit()
    for port in ports:
        picture.use(PortUse(port), "Nitrogen in", hooked=True)
    picture.gear(NITROGEN, [board.mouth(port) for port in ports], "in")
    _names(picture, (), valves)
    named = words.listed(names.service_port(board.circuit, port) for port in ports)
    said = words.sentence(f"nitrogen in at {named}", words.valves(board.circuit, valves))
    return finish(picture, "Pressure hold", said)


def evacuation(board: Board, plan: EvacuationPlan) -> Drawing:
    """Pump and gauge on their ports; heavy, the way from the place farthest from the pump."""
    picture = Picture.of(board, (), ())
    picture.circuit()
    for use in plan.pumped:
        tee = plan.gauge is not None and plan.gauge.tee and plan.gauge.port == use.port
        picture.use(use, "Pump and gauge" if tee else "Pump", hooked=True)
    if plan.gauge and not plan.gauge.tee:
        named = names.service_port(board.circuit, plan.gauge.port)
        picture.say_at(plan.gauge.port, ((named, False),), needed=board.size.every_name)
        picture.gear(GAUGE, [board.mouth(plan.gauge.port)])
    if plan.pumped:
        picture.gear(PUMP, [board.mouth(use.port) for use in plan.pumped], "out")
    if plan.gauge and plan.gauge.tee:
        picture.gear(GAUGE, [_branch(picture, plan.gauge.port)])
    _names(picture, (), plan.valves)
    return finish(picture, "Evacuation", words.evacuation(board.circuit, plan))


def charging(board: Board, port: str, valves: Sequence[ValveSetting] = ()) -> Drawing:
    """The charging cylinder on its scale, joined to one port; `valves` as they were left, and the
    coils that take a magnet's place on the way."""
    picture = Picture.of(board, (), ())
    picture.circuit()
    picture.use(PortUse(port), "Charge in", hooked=True)
    picture.gear(CHARGING, [board.mouth(port)], "in")
    coils = [one.part for one in valves if standing.has_coil(board.circuit, one)]
    _names(picture, (), valves, coils=coils)
    return finish(picture, "Charging", words.charging(board.circuit, port, valves, coils))


# ---- common parts


def listed_joints(board: Board, past: Sequence[tuple[str, str]]) -> str:
    """Joints with their numbers."""
    return words.listed(
        f"joint {number}: {names.joint(board.circuit, one)}" for one, number in past
    )


def _branch(picture: Picture, port: str) -> Mouth:
    """The side branch of the core tool on a port, on the side where there is most room."""
    mouth, look = picture.board.mouth(port)
    return mouth, ends.side(picture.sheet, mouth, look)


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
    coils: Collection[str] = (),
    open_already: Settings = (),
) -> None:
    """Names: bold for the parts worked on and for valves, with the state those are set to;
    `coils` go back on during the work, and `open_already` is what the step need not set."""
    size = picture.board.size
    if size.spare:
        for one in (*valves, *open_already):
            picture.say_of(one.part, ((words.short_state(one), True),))
        return
    states = {one.part: words.state(one) for one in valves}
    standing_open = {one.part: one.state.upper() for one in open_already}
    for part in picture.board.circuit.parts:
        needed = size.every_name or part in parts or part in states or part in spoken
        if part in states:
            later = ((words.COIL, True),) if part in coils else ()
            picture.name(part, True, (states[part], True), *later)
        elif part in standing_open:
            picture.name(part, needed, (standing_open[part], True))
        else:
            picture.name(part, needed, bold=part in parts)
