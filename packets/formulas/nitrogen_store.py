"""What nitrogen cylinders can give: each draw of gas with the pressure that it needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from packets.formulas import nitrogen
from packets.formulas.ranges import Range, guard


@dataclass(frozen=True)
class Store:
    """A cylinder: content when full [m3 standard], pressure when full and now [Pa absolute]."""

    full_content: float
    full_pressure: float
    pressure: float

    @property
    def content(self) -> float:
        """What it holds now [m3 standard]."""
        return nitrogen.content_left(self.full_content, self.full_pressure, self.pressure)

    def pressure_for(self, gas: float, floor: float) -> float:
        """Return the pressure from which it gives `gas` [m3 standard] and ends at `floor` [Pa]."""
        return floor + gas * self.full_pressure / self.full_content


@dataclass(frozen=True)
class Draw:
    """Gas for one use [m3 standard], and the cylinder pressure below which it cannot be made."""

    name: str
    gas: float
    floor: float


def short(stores: Sequence[Store], draws: Sequence[Draw]) -> list[tuple[Draw, float]]:
    """Return the draws that the cylinders cannot give in their order, each with the gas that it
    lacks [m3 standard].

    Each draw is taken from the cylinder with the lowest pressure that still serves it: gas that no
    longer serves a fill goes into a purge first, and the fullest cylinder is kept for the fill.
    What a low cylinder could give to the first part of a fill is not counted.

    Args:
        stores: the cylinders.
        draws: the uses, in the order of work.

    Raises:
        OutOfRange: a draw below zero or above 10 000 m3.

    Source: ideal gas law, content in proportion to pressure; the order is ours.

    >>> psi, ft3 = 6894.757, 0.0283168
    >>> van = [Store(40 * ft3, 2214.7 * psi, 274.7 * psi)]  # 260 psig
    >>> [(draw, lack)] = short(van, [Draw("fill", 3 * ft3, 367.7 * psi)])
    >>> draw.name, round(lack / ft3, 1)
    ('fill', 3.0)
    """
    left, lacking = [store.pressure for store in stores], []
    for draw in draws:
        gas = guard("gas", draw.gas, Range(0.0, 1e4, "m3 standard"))
        for at in sorted(range(len(stores)), key=lambda one: left[one]):
            store = stores[at]
            usable = max(left[at] - draw.floor, 0.0) * store.full_content / store.full_pressure
            taken = min(usable, gas)
            left[at] -= taken * store.full_pressure / store.full_content
            gas -= taken
        if gas > 1e-9:
            lacking.append((draw, gas))
    return lacking
