"""An independent replay of braze plans: floods the circuit with gas and looks where it goes.

Shares nothing with the planner but the circuit and the plan: its own table of parts, its own
graph, and whole paths instead of floods and flows. A test holds that it imports no planner.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import product

from packets.model.circuits import CircuitPart, CircuitPlan
from packets.model.hookups import BrazePlan, End, Opened, Route
from tests.circuit import replay_parts as parts

Point = tuple[str, str]
Edge = tuple[Point, Point, str, bool]  # from, to, joint or part, whether it must be lifted


class Replay:
    """Follows one plan through, and says what is wrong with it."""

    def __init__(self, circuit: CircuitPlan, opened: Opened) -> None:
        self.circuit = circuit
        self.opened = opened
        self.called: dict[str, str] = {}
        self.sides: dict[str, dict[str, Point]] = {}
        for name, line in circuit.lines.items():
            for port in (line.from_, line.to):
                owner = port.partition(".")[0]
                if line.direct:
                    self.called[port] = line.from_
                    self.sides.setdefault(line.from_, {})[owner] = self.point(port)
                else:
                    self.called[port] = port
                    self.sides[port] = {owner: self.point(port), name: ("line", name)}
        wanted = [f"{part}.{port}" for part in opened.out for port in circuit.parts[part].ports]
        self.wanted = tuple(dict.fromkeys(self.called[p] for p in (*wanted, *opened.joints)))
        self.screwed = {self.called[port] for port in opened.screwed}

    def point(self, port: str) -> Point:
        """A part with a seat has a point a port, any other part is one point."""
        name = port.partition(".")[0]
        part = self.circuit.parts[name]
        seat = parts.rule(part) != ("yes", "yes") or parts.states(part) or part.kind == "metering"
        return ("port", port) if seat else ("part", name)

    def present(self, made: set[str], joint: str) -> set[str]:
        """The parts that are in the circuit while a joint is brazed."""
        there = {owner for id in (*made, joint) for owner in self.sides[id]}
        return {name for name in self.circuit.parts if name not in self.opened.out or name in there}

    def worlds(self, route_valves: dict[str, str]) -> Iterator[dict[str, str]]:
        """Every way the valves may stand."""
        names = [name for name, part in self.circuit.parts.items() if parts.states(part)]
        choices = [
            (route_valves[name],) if name in route_valves else parts.found(self.circuit.parts[name])
            for name in names
        ]
        for combination in product(*choices):
            yield dict(zip(names, combination, strict=True))

    def edges(self, states: dict[str, str], joints: set[str]) -> list[Edge]:
        """Where gas can go: through these joints and through the parts."""
        found: list[Edge] = []
        for id in joints:
            a, b = self.sides[id].values()
            found += [(a, b, id, False), (b, a, id, False)]
        for name, part in self.circuit.parts.items():
            if self.point(f"{name}.{part.ports[0]}")[0] == "part":
                continue
            joins = self.joins(part, states.get(name, ""))
            if joins:
                for group in joins:
                    points = [("port", f"{name}.{port}") for port in group]
                    found += [(a, b, name, False) for a in points for b in points if a != b]
                continue
            forward, back = parts.rule(part)
            open_ = parts.states(part).get(states.get(name, ""), True)
            can = [way == "yes" or (way == "open" and open_) for way in (forward, back)]
            a, b = (("port", f"{name}.{port}") for port in part.ports)
            found += [(a, b, name, not can[1])] if can[0] else []
            found += [(b, a, name, not can[0])] if can[1] else []
        return found

    @staticmethod
    def joins(part: CircuitPart, state: str) -> tuple[tuple[str, ...], ...]:
        """The groups of ports a valve of more than two joins."""
        if part.states:
            return part.states[state].joins if state else ()
        return parts.CROSSED[state] if part.kind == "reversing-valve" else ()

    def dead(self, states: dict[str, str]) -> set[str]:
        """Service ports that a seat shuts off."""
        return {
            port
            for name, state in states.items()
            if self.circuit.parts[name].states
            for port in self.circuit.parts[name].states[state].dead
        }

    def at(self, opening: str | End) -> Point:
        """The point a service port or an end opens to."""
        if isinstance(opening, End):
            return self.sides[opening.joint][opening.owner]
        on = self.circuit.service_ports[opening].on
        return self.point(on) if "." in on else ("line", on)

    def ends(self, made: set[str], joint: str) -> set[End]:
        """Every end that stands open while a joint is brazed."""
        there = self.present(made, joint)
        return {
            End(id, owner)
            for id in self.wanted
            if id not in made and id != joint
            for owner in self.sides[id]
            if owner in there or owner in self.circuit.lines
        }

    def intact(self, made: set[str], joint: str = "") -> set[str]:
        """Joints that gas can pass: those never opened, those made, and the one being brazed."""
        return (set(self.sides) - set(self.wanted)) | made | ({joint} if joint else set())

    def faults(self, plan: BrazePlan) -> list[str]:
        """What is wrong with a plan; empty when every joint sees gas and has an outlet."""
        wrong: list[str] = []
        made: set[str] = set()
        for step in plan.steps:
            if step.joint not in self.wanted or step.joint in made:
                wrong.append(f"{step.joint} is not to be made, or made twice")
                continue
            if step.route is None:
                if step.joint not in self.screwed:
                    wrong.append(f"{step.joint} is brazed without nitrogen")
            elif step.joint in self.screwed:
                wrong.append(f"{step.joint} is screwed and gets a route")
            else:
                said = self.judge(made, step.joint, step.route)
                wrong += [f"{step.joint}: {words}" for words in said]
            made.add(step.joint)
        if not plan.problems and made != set(self.wanted):
            wrong.append(f"never made: {sorted(set(self.wanted) - made)}")
        return wrong

    def judge(self, made: set[str], joint: str, route: Route) -> list[str]:
        """What is wrong with the route of one joint."""
        wrong = list(self.openings(made, joint, route))
        if wrong:
            return wrong
        inlet: str | End = route.inlet.port or route.inlet.end  # type: ignore[assignment]
        vent: str | End = route.vent.port or route.vent.end  # type: ignore[assignment]
        put = {setting.part: setting.state for setting in route.valves}
        reached: set[End] = set()
        for states in self.worlds(put):
            edges = self.edges(states, self.intact(made, joint))
            gas = flood(edges, self.at(inlet))
            reached |= {end for end in self.ends(made, joint) if self.at(end) in gas}
            wrong += self.flow(states, made, joint, inlet, vent, route)
        closed = {end for end in self.ends(made, joint) if end not in (inlet, vent)}
        if set(route.caps) != closed & reached:
            wrong.append(f"caps {route.caps}, gas gets to {sorted(closed & reached)}")
        if set(route.keep_closed) != closed - reached:
            wrong.append(f"keeps closed {route.keep_closed}, not {sorted(closed - reached)}")
        return wrong

    def openings(self, made: set[str], joint: str, route: Route) -> Iterator[str]:
        """Inlet, vent and valves exist, are open, and can be set."""
        there = self.present(made, joint)
        put = {setting.part: setting.state for setting in route.valves}
        for name, state in put.items():
            part = self.circuit.parts[name]
            if name not in there or state not in parts.states(part) or not parts.tool(part):
                yield f"{name} cannot be put to {state}"
        dead = {port for states in self.worlds(put) for port in self.dead(states)}
        for what in (route.inlet, route.vent):
            if bool(what.port) == (what.end is not None):
                yield "neither one port nor one end"
            elif what.end is not None and what.end not in self.ends(made, joint):
                yield f"{what.end} is not open"
            elif what.port and (what.port in dead or not self.there(what.port, there)):
                yield f"{what.port} does not work"
        if route.inlet.port == route.vent.port and route.inlet.end == route.vent.end:
            yield "the gas leaves where it comes in"
        cored = route.vent.port and self.circuit.service_ports[route.vent.port].core
        if cored and not route.vent.core_out:
            yield "a vent with its core in"

    def there(self, port: str, present: set[str]) -> bool:
        """Whether a service port is in the circuit: on a line, or on a part that is."""
        on = self.circuit.service_ports[port].on
        return "." not in on or on.partition(".")[0] in present

    def flow(
        self,
        states: dict[str, str],
        made: set[str],
        joint: str,
        inlet: str | End,
        vent: str | End,
        route: Route,
    ) -> list[str]:
        """Gas comes in, passes the joint and goes out, on a path that meets no place twice."""
        start, end = self.at(inlet), self.at(vent)
        around = list(paths(self.edges(states, self.intact(made)), start, end))
        edges = self.edges(states, self.intact(made, joint))
        through = [path for path in paths(edges, start, end) if any(e[2] == joint for e in path)]
        if not through:
            return [f"no gas passes it in {states}"]
        wrong = []
        if route.sole and around:
            wrong.append(f"gas goes round it in {states}")
        if not route.sole and not self.fair(through, around):
            wrong.append("it may get none of a split flow")
        if not route.sole and not (0 < route.share.low <= route.share.high <= 1):
            wrong.append(f"share {route.share}")
        choked = all(self.choked(path, joint) for path in through)
        if choked != route.pressed and choked:
            wrong.append("the only way out is a capillary, and the plan does not say so")
        return wrong

    def fair(self, through: list[list[Edge]], around: list[list[Edge]]) -> bool:
        """Beside every way round a joint in a split, one past it asks for no lift besides.

        Whichever part lifts first, the gas that then goes round has a way past the joint as well.
        A way round through a capillary does not count: there the gas would rather lift.
        """
        rivals = [path for path in around if not any(self.capillary(edge[2]) for edge in path)]
        return all(any(lifts(path) <= lifts(rival) for path in through) for rival in rivals)

    def choked(self, path: list[Edge], joint: str) -> bool:
        """Whether the path goes through a capillary behind the joint."""
        at = next(at for at, edge in enumerate(path) if edge[2] == joint)
        return any(self.capillary(edge[2]) for edge in path[at:])

    def capillary(self, name: str) -> bool:
        """Whether this is a capillary tube."""
        part = self.circuit.parts.get(name)
        return part is not None and part.device == "capillary"

    def can(self, made: set[str], joint: str) -> bool:
        """Whether any port, vent and valve setting sends all gas past a joint, tried one by one."""
        tools = [name for name, part in self.circuit.parts.items() if parts.tool(part)]
        best = {
            name: next(
                s
                for s, is_open in parts.states(self.circuit.parts[name]).items()
                if is_open and not self.shuts_ports(name, s)
            )
            for name in tools
        }
        puts = [best]
        for name in tools:
            shut = [
                s for s, is_open in parts.states(self.circuit.parts[name]).items() if not is_open
            ]
            puts += [{**best, name: shut[0]}] if shut else []
        there = self.present(made, joint)
        for put in puts:
            worlds = list(self.worlds(put))
            dead = {port for states in worlds for port in self.dead(states)}
            ports = [
                p for p in self.circuit.service_ports if p not in dead and self.there(p, there)
            ]
            vents: list[str | End] = [*ports, *self.ends(made, joint)]
            for inlet, vent in product(ports, vents):
                if inlet != vent and all(
                    self.forced(states, made, joint, inlet, vent) for states in worlds
                ):
                    return True
        return False

    def shuts_ports(self, name: str, state: str) -> bool:
        """Whether a state shuts a service port off."""
        part = self.circuit.parts[name]
        return bool(part.states and part.states[state].dead)

    def forced(
        self, states: dict[str, str], made: set[str], joint: str, inlet: str, vent: str | End
    ) -> bool:
        """Whether the only way out leads past the joint, and through no capillary behind it."""
        start, end = self.at(inlet), self.at(vent)
        if end in flood(self.edges(states, self.intact(made)), start):
            return False
        through = list(paths(self.edges(states, self.intact(made, joint)), start, end))
        return any(not self.choked(path, joint) for path in through)


def lifts(path: list[Edge]) -> set[str]:
    """What the gas has to lift on its path."""
    return {edge[2] for edge in path if edge[3]}


def flood(edges: list[Edge], start: Point) -> set[Point]:
    """Every point that gas gets to."""
    seen, todo = {start}, [start]
    while todo:
        at = todo.pop()
        for a, b, _, _ in edges:
            if a == at and b not in seen:
                seen.add(b)
                todo.append(b)
    return seen


def paths(edges: list[Edge], start: Point, end: Point) -> Iterator[list[Edge]]:
    """Every way from start to end that meets no point twice."""
    onward: dict[Point, list[Edge]] = {}
    for edge in edges:
        onward.setdefault(edge[0], []).append(edge)

    def walk(at: Point, trail: list[Edge], seen: set[Point]) -> Iterator[list[Edge]]:
        if at == end:
            yield list(trail)
            return
        for edge in onward.get(at, []):
            if edge[1] not in seen:
                yield from walk(edge[1], [*trail, edge], seen | {edge[1]})

    yield from walk(start, [], {start})
