"""Recovery cylinders: how full, how many, and whether the rating covers the refrigerant.

Source: AHRI Guideline K (2004 on), 0.8 x WC x SG at 77 F, as quoted in the trade press (seen);
49 CFR 173.304(b), not liquid-full at any temperature to 55 C (131 F) (seen); 49 CFR 173.301a(c),
pressure at 131 F at most 5/4 of the service pressure (from memory). The cylinder's own marking
and the rule in force govern.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from packets.formulas.ranges import Range, guard

WATER_DENSITY_77F = 997.05  # kg/m3 at 25 C (IAPWS)
FILL_SHARE = 0.80  # Guideline K
RATING_FACTOR = 5 / 4  # 49 CFR 173.301a(c), from memory

LIQUID_DENSITY = Range(300.0, 1700.0, "kg/m3")
SPECIFIC_GRAVITY = Range(0.3, 1.7, "times water at 77 F")
WATER_CAPACITY = Range(0.5, 2000.0, "kg of water")
MASS = Range(0.0, 5000.0, "kg")
NEED = Range(1e-3, 1e5, "kg")
ROOM = Range(1e-3, 5000.0, "kg")
SIGNED_ROOM = Range(-5000.0, 5000.0, "kg")
GAUGE_PRESSURE = Range(0.0, 2e7, "Pa gauge")


def specific_gravity(liquid_density_77f: float) -> float:
    """Specific gravity of a saturated liquid at 77 F against water at 77 F [-].

    SG = rho / 997.05.

    Args:
        liquid_density_77f: saturated liquid density at 25 C, 300 to 1700 [kg/m3].

    Raises:
        OutOfRange: density outside the range.

    Source: definition; water density IAPWS.

    >>> round(specific_gravity(1058.6), 3)  # R-410A
    1.062
    """
    return guard("liquid density", liquid_density_77f, LIQUID_DENSITY) / WATER_DENSITY_77F


def max_net_mass(water_capacity: float, gravity: float) -> float:
    """Most refrigerant a cylinder may hold [kg].

    m = 0.8 WC SG(77 F). A maximum: round down. The rule of 0.8 x WC without the SG is the
    superseded one; it overfills refrigerants lighter than water.

    Args:
        water_capacity: WC as stamped on the cylinder, 0.5 to 2000 [kg of water].
        gravity: specific gravity at 77 F, 0.3 to 1.7 [-].

    Raises:
        OutOfRange: an argument outside its range.

    Source: AHRI Guideline K (2004 on) (seen, quoted in the trade press).

    >>> round(max_net_mass(1000, 1.197), 1)  # any unit of WC gives the same unit
    957.6
    """
    capacity = guard("water capacity", water_capacity, WATER_CAPACITY)
    return FILL_SHARE * capacity * guard("specific gravity", gravity, SPECIFIC_GRAVITY)


def gross_stop(net_mass: float, tare: float) -> float:
    """What the scale must not pass with the cylinder on it [kg]: net + tare.

    Args:
        net_mass: most refrigerant it may hold, 0 to 5000 [kg].
        tare: TW as stamped, 0 to 5000 [kg].

    Raises:
        OutOfRange: an argument outside its range.

    Source: AHRI Guideline K (seen, quoted in the trade press).

    >>> round(gross_stop(957.6, 380), 1)
    1337.6
    """
    return guard("net mass", net_mass, MASS) + guard("tare", tare, MASS)


def room_left(max_net: float, contents: float) -> float:
    """What still goes in [kg]: max_net - contents. Negative: overfilled already, by that much.

    Args:
        max_net: most it may hold, 0 to 5000 [kg].
        contents: refrigerant in it now, 0 to 5000 [kg].

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic.

    >>> room_left(18.0, 1.5)
    16.5
    """
    return guard("maximum", max_net, MASS) - guard("contents", contents, MASS)


def cylinders_needed(mass: float, room_each: float) -> int:
    """Whole cylinders of equal room for a mass: ceil(m / room).

    Args:
        mass: to be taken up, 0.001 to 100 000 [kg].
        room_each: room in each, 0.001 to 5000 [kg].

    Raises:
        OutOfRange: an argument outside its range (a full cylinder has no room).

    Source: arithmetic.

    >>> cylinders_needed(40.0, 18.4)
    3
    """
    return math.ceil(guard("mass", mass, NEED) / guard("room", room_each, ROOM))


@dataclass(frozen=True)
class Filling:
    """How a mass goes into several cylinders, in the order given."""

    into_each: tuple[float, ...]  # kg
    left_over: float  # kg that finds no room


def fill_in_order(mass: float, rooms: Sequence[float]) -> Filling:
    """Fill cylinders one after the other [kg each]; the last takes the rest.

    Args:
        mass: to be taken up, 0.001 to 100 000 [kg].
        rooms: room in each cylinder in order; one without room (<= 0) is passed over [kg].

    Raises:
        OutOfRange: mass outside its range, or a room beyond 5000 kg either way.

    Source: arithmetic.

    >>> fill_in_order(20.0, [12.0, -1.0, 18.0])
    Filling(into_each=(12.0, 0.0, 8.0), left_over=0.0)
    """
    remaining = guard("mass", mass, NEED)
    into: list[float] = []
    for room in rooms:
        taken = min(remaining, max(guard("room", room, SIGNED_ROOM), 0.0))
        into.append(taken)
        remaining -= taken
    return Filling(tuple(into), remaining)


def liquid_share(mass: float, water_capacity: float, liquid_density: float) -> float:
    """Share of the cylinder filled with liquid at a temperature [-]; 1 or more is liquid-full.

    (m / rho) / (WC / 997.05), all the mass taken as liquid (the vapor's mass is left out, so
    the true share is slightly less: safe side).

    Args:
        mass: refrigerant in the cylinder, 0 to 5000 [kg].
        water_capacity: as stamped, 0.5 to 2000 [kg of water].
        liquid_density: saturated liquid density at the temperature, 300 to 1700 [kg/m3].

    Raises:
        OutOfRange: an argument outside its range.

    Source: geometry; the limit is 49 CFR 173.304(b), not liquid-full to 131 F (seen).

    >>> net = max_net_mass(21.6, 1.062)
    >>> round(liquid_share(net, 21.6, 1058.6), 2)  # at 77 F: the 80 % it was filled to
    0.8
    """
    volume = guard("water capacity", water_capacity, WATER_CAPACITY) / WATER_DENSITY_77F
    liquid = guard("mass", mass, MASS) / guard("liquid density", liquid_density, LIQUID_DENSITY)
    return liquid / volume


def service_pressure_needed(pressure_131f: float) -> float:
    """Least marked service pressure for a refrigerant [Pa gauge]: p(131 F) / (5/4).

    A minimum: round up. A legal table (49 CFR 173.304a) comes first where it names one.

    Args:
        pressure_131f: saturation pressure at 131 F (55 C), 0 to 20 MPa [Pa gauge].

    Raises:
        OutOfRange: pressure outside the range.

    Source: 49 CFR 173.301a(c), from memory.

    >>> round(service_pressure_needed(478.0 * 6894.757) / 6894.757)  # R-410A at 130 F, psig
    382
    """
    return guard("pressure at 131 F", pressure_131f, GAUGE_PRESSURE) / RATING_FACTOR


def rating_covers(pressure_131f: float, service_pressure: float) -> bool:
    """True if the pressure at 131 F is at most 5/4 of the marked service pressure.

    Args:
        pressure_131f: saturation pressure at 131 F (55 C), 0 to 20 MPa [Pa gauge].
        service_pressure: as marked (a "4BA400" cylinder: 400 psig), 0 to 20 MPa [Pa gauge].

    Raises:
        OutOfRange: an argument outside its range.

    Source: 49 CFR 173.301a(c), from memory.

    >>> psi = 6894.757
    >>> rating_covers(478 * psi, 400 * psi), rating_covers(478 * psi, 350 * psi)
    (True, False)
    """
    rating = guard("service pressure", service_pressure, GAUGE_PRESSURE)
    return service_pressure_needed(pressure_131f) <= rating
