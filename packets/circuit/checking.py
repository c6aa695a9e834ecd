"""Whether a circuit hangs together: every port joined once, one loop, ways that lead round it."""

from __future__ import annotations

from collections.abc import Iterator
from math import prod

from packets.circuit import going_round, kinds
from packets.circuit import ports as ports_
from packets.findings import suggest
from packets.model.circuits import CircuitPart, CircuitPlan, Passes, Problem

_WAYS = ("yes", "no", "only-if-open")
# More than any machine that one packet is for; each way its valves may stand is looked at.
MOST_PARTS, MOST_LINES, MOST_PORTS, MOST_WAYS = 60, 90, 24, 64


def check(circuit: CircuitPlan) -> tuple[Problem, ...]:
    """Everything that is wrong with a circuit, each with the path to it in the file.

    What the schema holds (keys, words, types) is taken as held; the flow is looked at only once
    every port is joined.
    """
    found = [*_size(circuit)]
    if not found:
        found = [*_names(circuit), *_parts(circuit), *_lines(circuit), *_services(circuit)]
        found += [] if found else [*_ways_to_stand(circuit)]
    if not found:
        found = [*_one(circuit)] or [*going_round.check(circuit)]
    return tuple(found)


def lacking(circuit: CircuitPlan) -> tuple[Problem, ...]:
    """What no machine that moves heat is without, beside its compressor."""
    here = {part.kind for part in circuit.parts.values()}
    wanted = {"condenser": "condenser", "metering": "metering device", "evaporator": "evaporator"}
    return tuple(
        Problem(f"no-{kind}", ("parts",), f"the circuit has no {words}", "add one")
        for kind, words in wanted.items()
        if kind not in here
    )


def _size(circuit: CircuitPlan) -> Iterator[Problem]:
    """A circuit no larger than can be looked at from every side."""
    for key, most in (("parts", MOST_PARTS), ("lines", MOST_LINES), ("service_ports", MOST_PORTS)):
        number = len(getattr(circuit, key))
        if number > most:
            words = key.replace("_", " ")
            yield Problem(
                "circuit-size",
                (key,),
                f"the circuit has {number} {words}, at most {most} can be worked out",
                "leave out what no joint, valve or port of this work depends on",
            )


def _ways_to_stand(circuit: CircuitPlan) -> Iterator[Problem]:
    """Each valve that may stand in several states multiplies the ways the circuit may stand."""
    several = {name: len(kinds.stands(part)) for name, part in circuit.parts.items()}
    several = {name: number for name, number in several.items() if number > 1}
    if prod(several.values()) > MOST_WAYS:
        yield Problem(
            "too-many-ways",
            ("parts", max(several, key=lambda name: several[name])),
            f"{', '.join(several)} may stand in more than {MOST_WAYS} ways together",
            "say under `stands` how each is found, or change it in the equipment record",
        )


def _names(circuit: CircuitPlan) -> Iterator[Problem]:
    """A part, a line and a service port are told apart by name alone."""
    seen: set[str] = set()
    for kind, names in (
        ("parts", circuit.parts),
        ("lines", circuit.lines),
        ("service_ports", circuit.service_ports),
    ):
        for name in names:
            if name in seen or name == "stub":
                yield Problem(
                    "name-taken",
                    (kind, name),
                    "'stub' is what the plans call the end of a cut pipe"
                    if name == "stub"
                    else f"{name!r} is the name of something else in this circuit",
                    "give it a name of its own",
                )
            seen.add(name)


def _parts(circuit: CircuitPlan) -> Iterator[Problem]:
    places: dict[tuple[float, ...], str] = {}
    for name, part in circuit.parts.items():
        path = ("parts", name)
        if len(part.at) != 2:
            yield Problem(
                "part-without-place",
                path,
                f"{name} has no place on the drawing",
                "add at: [x, y]",
            )
        elif part.at in places:
            yield Problem(
                "place-taken",
                (*path, "at"),
                f"{name} stands where {places[part.at]} stands",
                "give it a place of its own: at: [x, y], or shift: [x, y] for a run repeated",
            )
        places.setdefault(part.at, name)
        yield from _part(circuit, name, part)


def _part(circuit: CircuitPlan, name: str, part: CircuitPart) -> Iterator[Problem]:
    path = ("parts", name)
    if part.kind not in kinds.KINDS:
        yield Problem(
            "unknown-kind",
            (*path, "kind"),
            f"no kind of part is called {part.kind!r}",
            suggest(part.kind, sorted(kinds.KINDS)),
        )
        return
    ports = list(part.ports)
    for key, named in (("tight", part.tight), ("reach", tuple(part.reach))):
        for port in named:
            if port not in ports:
                yield Problem(
                    "unknown-port",
                    (*path, key),
                    f"{name} has no port {port!r}",
                    suggest(port, ports),
                )
    known = kinds.states(part)
    for state in part.stands:
        if state not in known:
            yield Problem(
                "unknown-state",
                (*path, "stands"),
                f"{name} has no state {state!r}",
                suggest(state, sorted(known)) if known else "leave `stands` out",
            )
    for state, means in part.states.items():
        for port in means.dead:
            if port not in circuit.service_ports:
                yield Problem(
                    "unknown-service-port",
                    (*path, "states", state, "dead"),
                    f"no service port is called {port!r}",
                    suggest(port, sorted(circuit.service_ports)),
                )
    yield from _ways_inside(name, part)


def _ways_inside(name: str, part: CircuitPart) -> Iterator[Problem]:
    """A part with a seat has two ports, or states that say which ports are joined."""
    path = ("parts", name)
    joins = [join for state in kinds.states(part).values() for join in state.joins]
    for port in sorted({port for join in joins for port in join} - set(part.ports)):
        yield Problem(
            "unknown-port",
            path,
            f"{name} has no port {port!r} to join",
            f"ports of a {part.kind} are {', '.join(sorted({p for join in joins for p in join}))}",
        )
    if not joins and kinds.can_shut(part) and len(part.ports) != 2:
        yield Problem(
            "ports-not-two",
            (*path, "ports"),
            f"{name} can shut and has {len(part.ports)} ports",
            "give it two ports, or states that say which ports are joined",
        )
    rule = kinds.passes(part)
    if rule.forward not in _WAYS or rule.back not in _WAYS:
        yield Problem("unknown-word", (*path, "passes"), f"{name} passes {rule}", ", ".join(_WAYS))
    elif rule == Passes("no", "no"):
        yield Problem(
            "passes-nothing",
            (*path, "passes"),
            f"{name} lets nothing pass either way",
            "write only-if-open for what can be opened",
        )


def _lines(circuit: CircuitPlan) -> Iterator[Problem]:
    ports = [f"{name}.{port}" for name, part in circuit.parts.items() for port in part.ports]
    taken: dict[str, str] = {}
    for name, line in circuit.lines.items():
        for key, port in (("from", line.from_), ("to", line.to)):
            path = ("lines", name, key)
            if port not in ports:
                yield Problem(
                    "line-to-nowhere",
                    path,
                    f"{name} leads to {port!r}, and there is no such port",
                    suggest(port, sorted(ports)),
                )
            elif port in taken:
                yield Problem(
                    "port-joined-twice",
                    path,
                    f"{port} is already joined to {taken[port]}",
                    "join another port, or put a tee in",
                )
            else:
                yield from _facing(circuit, port, name, key)
            taken.setdefault(port, name)
    for port in ports:
        if port not in taken:
            part, _, short = port.partition(".")
            yield Problem(
                "port-not-joined",
                ("parts", part, "ports"),
                f"no line leads to {port}",
                f"join a line to it, or leave {short!r} out",
            )


def _facing(circuit: CircuitPlan, port: str, line: str, key: str) -> Iterator[Problem]:
    """Lines run in the direction of flow, so that a one-way part must let gas pass that way."""
    name, _, short = port.partition(".")
    part = circuit.parts[name]
    way = kinds.passes(part) if part.kind in kinds.KINDS else kinds.BOTH
    if len(part.ports) != 2 or (way.forward == "no") == (way.back == "no"):
        return
    first = part.ports[0] if way.back == "no" else part.ports[1]
    if (short == first) != (key == "to"):
        yield Problem(
            "faces-wrong-way",
            ("lines", line, key),
            f"gas passes {name} from its {first}, and the line {line} runs against it",
            f"turn {name} round, or write the line in the direction of flow",
        )


def _services(circuit: CircuitPlan) -> Iterator[Problem]:
    ports = [f"{name}.{port}" for name, part in circuit.parts.items() for port in part.ports]
    lines = [name for name, line in circuit.lines.items() if not line.direct]
    for name, service in circuit.service_ports.items():
        if service.on not in ports and service.on not in lines:
            yield Problem(
                "port-on-nothing",
                ("service_ports", name, "on"),
                f"{name} is on {service.on!r}, which is neither a line nor a part's port",
                suggest(service.on, sorted([*ports, *lines])),
            )
        elif service.near and service.on not in lines:
            yield Problem(
                "near-without-line",
                ("service_ports", name, "near"),
                f"{name} is on a part and near no end of a line",
                "leave `near` out",
            )
        elif service.kind == ports_.GAUGE and not ports_.valve(circuit, name)[0]:
            yield Problem(
                "gauge-port-without-valve",
                ("service_ports", name, "kind"),
                f"{name} is a gauge port, and no valve has an open state that shuts it off",
                f"list {name} under `dead` in the back-seated state of its valve",
            )


def _one(circuit: CircuitPlan) -> Iterator[Problem]:
    """All parts hang together, and there is one compressor at least."""
    near: dict[str, set[str]] = {name: set() for name in circuit.parts}
    for line in circuit.lines.values():
        a, b = line.from_.partition(".")[0], line.to.partition(".")[0]
        near[a].add(b)
        near[b].add(a)
    first = next(iter(near), "")
    seen, todo = {first}, [first]
    while todo and first:
        for other in near[todo.pop()] - seen:
            seen.add(other)
            todo.append(other)
    apart = [name for name in near if name not in seen]
    if apart:
        yield Problem(
            "two-circuits",
            ("parts", apart[0]),
            f"no line joins {', '.join(apart)} to {first}",
            "join them, or write the second circuit into a file of its own",
        )
    if all(part.kind != "compressor" for part in circuit.parts.values()):
        yield Problem("no-compressor", ("parts",), "the circuit has no compressor", "add one")
