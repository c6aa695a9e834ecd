"""Which facts of a job file are carried over from an earlier packet's record, and which are not.

Data decides (`lasts` and `proved_by` in facts.yaml): a passing fact is never taken from a file,
one that needs proof only where the job says how the circuit was left.
"""

from __future__ import annotations

from collections.abc import Iterable

from packets.model.job import CircuitState, Job, Left
from packets.model.procedures import Fact, Facts
from packets.quantities import BadQuantity, Quantity, parse

_GAS = "nitrogen "
_AT = " at "


def how_left(state: CircuitState) -> str:
    """The word of facts.yaml's `now.left` for a circuit; empty while its charge is in.

    >>> how_left(CircuitState("recovered", "running"))
    'unknown'
    """
    if state.refrigerant == "present":
        return ""
    if state.left is None:
        return "unknown"
    if state.left.open:
        return "open"
    return "sealed" if under_pressure(state.left) else "unsealed"


def sealed(text: str) -> tuple[Quantity, Quantity]:
    """Pressure [Pa, gauge] and pipe temperature [K] of `nitrogen 20 psig at 68 degF`.

    Raises:
        BadQuantity: the text is of another form, or a value has no unit that fits.
    """
    pressure, found, temperature = text.removeprefix(_GAS).partition(_AT)
    if not text.startswith(_GAS) or not found:
        raise BadQuantity(f"{text!r} is not of that form", "write nitrogen 20 psig at 68 degF")
    return parse(pressure, "gauge-pressure"), parse(temperature, "temperature")


def under_pressure(left: Left) -> bool:
    """Whether the circuit was left above the air's pressure, so that no air could come in."""
    try:
        return bool(left.sealed) and sealed(left.sealed)[0].value > 0
    except BadQuantity:
        return False


def proved(fact: Fact, state: CircuitState) -> bool:
    """Whether the job shows what a `proved` fact takes. A charge that is in proves it by itself:
    no air gets into a circuit under its own pressure."""
    how = how_left(state)
    if how == "":
        return True
    if fact.proved_by == "left":
        return how in ("sealed", "unsealed")
    return fact.proved_by == "sealed" and how == "sealed"


def taken(facts: Facts, job: Job, circuit: str) -> tuple[str, ...]:
    """The facts of the job that hold at its start, those that are not carried left out."""
    state = job.now.circuits[circuit]
    return tuple(name for name in _named(job, state) if _holds(facts, name, state))


def _named(job: Job, state: CircuitState) -> Iterable[str]:
    return (*job.now.facts, *state.facts)


def _holds(facts: Facts, name: str, state: CircuitState) -> bool:
    fact = facts.facts[name]
    return fact.lasts == "lasting" or (fact.lasts == "proved" and proved(fact, state))
