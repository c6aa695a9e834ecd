"""Valve states: which a technician can set, and every way in which the rest may stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import product

from packets.circuit import kinds
from packets.model.circuits import CircuitPlan
from packets.model.hookups import ValveSetting

States = dict[str, str]


def settable(circuit: CircuitPlan, without: Iterable[str] = ()) -> tuple[str, ...]:
    """Valves that can be set with the power off, less those that are not there."""
    gone = set(without)
    return tuple(
        name
        for name, part in circuit.parts.items()
        if name not in gone and len(kinds.states(part)) > 1 and kinds.set_with(part)
    )


def opened(circuit: CircuitPlan, name: str) -> str:
    """The state of a valve that lets gas through with the fewest service ports shut off."""
    known = kinds.states(circuit.parts[name])
    return min(known, key=lambda state: (not known[state].open, len(known[state].dead)))


def shut(circuit: CircuitPlan, name: str) -> str:
    """The state of a valve that holds gas back; empty when it has none."""
    known = kinds.states(circuit.parts[name])
    return next((state for state in known if not known[state].open), "")


def worlds(circuit: CircuitPlan, put: Mapping[str, str]) -> list[States]:
    """Every way the valves may stand when `put` have been set and nobody touched the others."""
    choices: dict[str, tuple[str, ...]] = {}
    for name, part in circuit.parts.items():
        if kinds.states(part):
            choices[name] = (put[name],) if name in put else kinds.stands(part)
    return [
        dict(zip(choices, combination, strict=True)) for combination in product(*choices.values())
    ]


def dead_ports(circuit: CircuitPlan, states: Mapping[str, str]) -> frozenset[str]:
    """Service ports that a valve's state shuts off."""
    return frozenset(_dead(circuit, states))


def _dead(circuit: CircuitPlan, states: Mapping[str, str]) -> Iterator[str]:
    for name, state in states.items():
        yield from kinds.states(circuit.parts[name])[state].dead


def as_settings(circuit: CircuitPlan, put: Mapping[str, str]) -> tuple[ValveSetting, ...]:
    """What the technician sets: states that differ from how the valve is found."""
    return tuple(
        ValveSetting(name, state, kinds.set_with(circuit.parts[name]))
        for name, state in sorted(put.items())
        if (state,) != kinds.stands(circuit.parts[name])
    )
