"""Features of a machine that change which facts hold at the start, and which nothing can end."""

from __future__ import annotations

from packets import reference
from packets.model.equipment import Circuit
from packets.model.procedures import CircuitPlan

# Name and meaning; facts.yaml says under `equipment` what each changes. The last is of the work.
NAMES: dict[str, str] = {
    "crankcase-heater": "the compressor has a crankcase heater",
    "flammable": "the refrigerant's safety class is A2L or higher in flammability, or not known",
    "not-flammable": "the refrigerant does not burn",
    "no-drier": "the circuit has no filter drier",
    "no-flame": "every joint that the planned work makes is flared or screwed, the drier's too",
}

DOES_NOT_BURN = ("A1", "B1")


def safety_class(refrigerant: str) -> str | None:
    """The class in our table, or None for a refrigerant that has no row."""
    row = reference.table("refrigerants").find(refrigerant=refrigerant)
    return str(row["safety_class"]) if row else None


def features(record: Circuit, drawn: CircuitPlan | None) -> tuple[str, ...]:
    """The features of one circuit of a machine. What is not known counts as the worse."""
    burns = safety_class(record.refrigerant) not in DOES_NOT_BURN
    kinds = {part.kind for part in drawn.parts.values()} if drawn else {"filter-drier"}
    held = {
        "crankcase-heater": record.compressor.crankcase_heater,
        "flammable": burns,
        "not-flammable": not burns,
        "no-drier": "filter-drier" not in kinds,
    }
    return tuple(name for name, holds in held.items() if holds)
