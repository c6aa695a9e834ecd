"""Weigh-in charge: what goes in, from which cylinder, and what the scale must read.

Sources: geometry, arithmetic. The nameplate or the maker's charge label governs every figure
that a formula here gives. Factory charge + line adder, the maker's tolerance and the scale's
step are common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from packets.formulas.ranges import Range, guard

BORE = Range(2e-4, 0.12, "m")
LENGTH = Range(0.0, 1000.0, "m")
DENSITY = Range(0.1, 1700.0, "kg/m3")
LIQUID_DENSITY = Range(300.0, 1700.0, "kg/m3")
MASS_A_LENGTH = Range(0.0, 50.0, "kg/m")
MASS = Range(0.0, 1e5, "kg")
NEED = Range(1e-3, 1e5, "kg")
VOLUME = Range(1e-6, 10.0, "m3")
SHARE = Range(0.0, 1.0, "of the volume")
RESOLUTION = Range(0.0, 1.0, "kg")
TOLERANCE = Range(0.0, 0.5, "of the charge")


def mass_in_tube(bore: float, length: float, density: float) -> float:
    """Refrigerant in a length of tube [kg]: rho pi/4 d2 L.

    Args:
        bore: inside diameter, 0.2 to 120 mm [m].
        length: 0 to 1000 [m].
        density: of the liquid (or vapor) that fills it, 0.1 to 1700 [kg/m3].

    Raises:
        OutOfRange: an argument outside its range.

    Source: geometry.

    >>> oz = mass_in_tube(0.311 * 0.0254, 0.3048, 1138.5) / 0.028349523
    >>> round(oz, 3)  # R-22 liquid at 100 F in 3/8 in. tube, oz/ft
    0.6
    """
    d = guard("bore", bore, BORE)
    liquid = guard("density", density, DENSITY)
    return liquid * math.pi / 4.0 * d * d * guard("length", length, LENGTH)


def line_adder(length: float, factory_length: float, mass_a_length: float) -> float:
    """Charge to add for line set beyond the length the factory charge covers [kg].

    max(0, L - L_factory) x m'. A shorter line takes nothing off: only the maker can say so.

    Args:
        length: line set as installed, 0 to 1000 [m].
        factory_length: covered by the factory charge, 0 to 1000 [m].
        mass_a_length: the maker's adder, or `mass_in_tube` for one metre, 0 to 50 [kg/m].

    Raises:
        OutOfRange: an argument outside its range.

    Source: common practice, no source.

    >>> round(line_adder(12.8, 7.6, 0.056), 3)
    0.291
    """
    beyond = guard("length", length, LENGTH) - guard("factory length", factory_length, LENGTH)
    return max(0.0, beyond) * guard("adder", mass_a_length, MASS_A_LENGTH)


def total_charge(parts: Iterable[float]) -> float:
    """Sum of the parts of a charge [kg]: factory charge, line adder, added drier, and so on.

    Args:
        parts: 0 to 100 000 each [kg].

    Raises:
        OutOfRange: a part outside its range.

    Source: arithmetic.

    >>> round(total_charge([2.72, 0.29, 0.06]), 2)
    3.07
    """
    return math.fsum(guard("part of the charge", part, MASS) for part in parts)


def receiver_capacity(volume: float, liquid_density: float, share: float) -> float:
    """What a receiver may hold [kg]: share x V x rho, a cap on the charge of its circuit.

    Args:
        volume: inside volume, 1 mL to 10 m3 [m3].
        liquid_density: saturated liquid at the warmest it gets, 300 to 1700 [kg/m3].
        share: filled share the maker allows, 0 to 1 [-].

    Raises:
        OutOfRange: an argument outside its range.

    Source: geometry; the share is the maker's.

    >>> round(receiver_capacity(0.010, 1050.0, 0.8), 1)
    8.4
    """
    liquid = guard("liquid density", liquid_density, LIQUID_DENSITY)
    return guard("share", share, SHARE) * guard("volume", volume, VOLUME) * liquid


def overcharge_limit(charge: float, tolerance: float, cap: float | None = None) -> float:
    """Most that may be in the circuit [kg]: charge x (1 + tolerance), and never above a cap.

    A maximum: round down.

    Args:
        charge: nameplate or computed charge, 0.001 to 100 000 [kg].
        tolerance: the maker's, as a share, 0 to 0.5 [-].
        cap: receiver capacity or flammable limit, 0 to 100 000 [kg]; None if there is none.

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic.

    >>> overcharge_limit(6.0, 0.05, cap=6.2)
    6.2
    """
    most = guard("charge", charge, NEED) * (1.0 + guard("tolerance", tolerance, TOLERANCE))
    return most if cap is None else min(most, guard("cap", cap, MASS))


def scale_stop(scale_start: float, mass: float) -> float:
    """What the scale under a charging cylinder reads when the mass is out [kg].

    start - m.

    Args:
        scale_start: gross reading before, 0 to 100 000 [kg].
        mass: to be charged from this cylinder, 0 to scale_start [kg].

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic.

    >>> round(scale_stop(24.0, 6.6), 1)
    17.4
    """
    start = guard("scale start", scale_start, MASS)
    return start - guard("mass", mass, Range(0.0, start, "kg"))


def charge_band(charge: float, share: float, least: float) -> float:
    """How far a charge may be from what it should be [kg]: a share of it, and never less than a
    stated mass. A maximum: round down.

    max(share x m, least).

    Args:
        charge: nameplate or computed charge, 0.001 to 100 000 [kg].
        share: of the charge, 0 to 0.5 [-].
        least: 0 to 100 000 [kg].

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic; the shares are common practice, no source.

    >>> round(charge_band(0.150, 0.03, 0.001) * 1000, 1)  # 150 g on a capillary tube
    4.5
    >>> round(charge_band(0.020, 0.03, 0.001) * 1000, 1)
    1.0
    """
    allowed = guard("share", share, TOLERANCE) * guard("charge", charge, NEED)
    return max(allowed, guard("least", least, MASS))


@dataclass(frozen=True)
class Draw:
    """How a charge comes out of several cylinders, in the order given."""

    from_each: tuple[float, ...]  # kg
    short_by: float  # kg the cylinders can't give


def draw_in_order(mass: float, contents: Sequence[float], heel: float) -> Draw:
    """Draw a charge from cylinders one after the other, leaving a heel in each [kg].

    Args:
        mass: to be charged, 0.001 to 100 000 [kg].
        contents: refrigerant in each cylinder, 0 to 100 000 [kg].
        heel: what can't be drawn as liquid and stays behind in each, 0 to 100 000 [kg].

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic.

    >>> draw_in_order(6.0, [4.5, 10.0], 0.5)
    Draw(from_each=(4.0, 2.0), short_by=0.0)
    """
    remaining = guard("mass", mass, NEED)
    stays = guard("heel", heel, MASS)
    drawn: list[float] = []
    for content in contents:
        usable = max(0.0, guard("contents", content, MASS) - stays)
        drawn.append(min(remaining, usable))
        remaining -= drawn[-1]
    return Draw(tuple(drawn), remaining)


def weigh_in_uncertainty(resolution: float, cylinders: int) -> float:
    """Uncertainty of a charge weighed in from a scale's step [kg].

    Start and stop are each off by up to half a step: one step a cylinder used.

    Args:
        resolution: step of the scale, 0 to 1 [kg].
        cylinders: used one after the other, 1 to 100 [-].

    Raises:
        OutOfRange: an argument outside its range.

    Source: computed, linear error sum.

    >>> round(weigh_in_uncertainty(0.0141748, 2) * 1000, 1)  # 0.5 oz steps, g
    28.3
    """
    count = guard("cylinders", cylinders, Range(1, 100, "cylinders"))
    return guard("resolution", resolution, RESOLUTION) * count
