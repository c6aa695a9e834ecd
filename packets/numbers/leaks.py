"""A leak as people weigh it: mass of this machine's refrigerant a year, an order of magnitude."""

from __future__ import annotations

import math
from typing import Any

from packets.formatting import System, show
from packets.formulas.constants import YEAR
from packets.formulas.leak_size import as_atm_cc_per_s, as_refrigerant, leak_of_mass
from packets.model.numbers import Confidence, Words
from packets.numbers.context import Context
from packets.quantities import OUNCE, POUND

# A value on practice or memory carries the mark that page 1 explains.
MARK = " \N{DAGGER}"
WEAK = ("memory", "practice")


def molar_mass(context: Context) -> float | None:
    """Of the refrigerant [kg/mol]; None where the table of refrigerants has none."""
    row = context.refrigerant_row
    return row["molar_mass"]["value_g_per_mol"] / 1000 if row else None


def mass_a_year(context: Context, leak: float) -> float | None:
    """Refrigerant that a leak [Pa m3/s] loses in a year at the outdoor temperature [kg]."""
    molar = molar_mass(context)
    if molar is None:
        return None
    return as_refrigerant(leak, molar, context.job.conditions.outdoor.value) * YEAR


def leak_of_yearly(context: Context, mass: float) -> float | None:
    """The leak [Pa m3/s] that loses this mass in a year [kg]."""
    molar = molar_mass(context)
    if molar is None:
        return None
    return leak_of_mass(mass / YEAR, molar, context.job.conditions.outdoor.value)


def unit_and_step(mass: float, units: System) -> tuple[str, float]:
    """Unit for a yearly mass, and the step [kg] that leaves it two digits."""
    if units == "ip":
        unit, one = ("lb", POUND) if mass >= POUND else ("oz", OUNCE)
    else:
        unit, one = ("kg", 1.0) if mass >= 1.0 else ("g", 1e-3)
    decade = math.floor(math.log10(max(mass / one, 1e-3)) + 1e-9)
    return unit, one * 10.0 ** (decade - 1)


def add(
    context: Context, id: str, label: str, leak: float, *, confidence: Confidence, **ground: Any
) -> None:
    """Add a leak [Pa m3/s]: as a number, mass a year, where a molar mass is known; and as
    `id`_words, which a step prints with the mark of weak ground."""
    mass = mass_a_year(context, leak)
    words = f"{as_atm_cc_per_s(leak):.2g} std cc/s"
    if mass is not None:
        unit, step = unit_and_step(mass, context.units)
        context.number(
            id,
            label,
            "mass",
            mass,
            round="up",
            step=step,
            unit=unit,
            confidence=confidence,
            **ground,
        )
        words = f"{show(mass, 'mass', context.units, 'up', step, unit).text} a year"
    mark = MARK if confidence in WEAK else ""
    context.register.add(Words(f"{id}_words", label, words + mark, ground["source"]))


def flow(leak: float) -> str:
    """A leak as a flow, for the working of a number."""
    return f"{leak:.3g} Pa m3/s = {as_atm_cc_per_s(leak):.2g} std cc/s"
