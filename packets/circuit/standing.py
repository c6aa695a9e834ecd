"""How valves stand that nobody sets at a step."""

from __future__ import annotations

from collections.abc import Iterable

from packets.circuit import kinds
from packets.model.circuits import CircuitPlan
from packets.model.hookups import Route, ValveSetting


def on_the_way(
    circuit: CircuitPlan, route: Route, held: Iterable[ValveSetting] = ()
) -> tuple[ValveSetting, ...]:
    """Valves that the gas runs through and that the step does not set: as `held`, where an earlier
    step set them and they were left so, else open as found.

    Left out is what has no shut state, what the route holds with either way, and what may be
    found shut: gas runs through that only the way in which it needs no setting.
    """
    before = {one.part: one for one in held}
    told = {one.part for one in route.valves} | set(route.either_way)
    found: dict[str, ValveSetting] = {}
    for leg in (*route.legs, *route.beside):
        part = circuit.parts.get(leg.element)
        if part is None or leg.element in told:
            continue
        states = kinds.states(part)
        if all(state.open for state in states.values()):
            continue
        if leg.element in before:
            found[leg.element] = before[leg.element]
        elif all(states[state].open for state in kinds.stands(part)):
            found[leg.element] = ValveSetting(leg.element, "open", "stem")
    return tuple(found.values())


def has_coil(circuit: CircuitPlan, setting: ValveSetting) -> bool:
    """Whether a magnet holds a valve in place of its coil."""
    return setting.set_with == "magnet" and circuit.parts[setting.part].kind == "solenoid"
