"""Charge against room for flammable refrigerants.

Source: IEC 60335-2-40:2018 Annex GG. The room formula is seen (three guides that cite it);
the factors are from memory, 6 x LFL confirmed by a guide's number. The equipment's own label
and the code in force govern, and a charge that passes here is not thereby allowed.
"""

from __future__ import annotations

import math

from packets.formulas.ranges import Range, guard

LOWER_FLAMMABLE_LIMIT = Range(0.02, 0.6, "kg/m3")
AREA = Range(0.1, 10000.0, "m2")
CHARGE = Range(1e-3, 1000.0, "kg")
RELEASE_HEIGHT = Range(0.6, 5.0, "m")
INSTALL_HEIGHT = Range(0.0, 5.0, "m")
OFFSET = Range(0.0, 1.0, "m")
ROOM_VOLUME = Range(0.1, 1e6, "m3")
CONCENTRATION = Range(1e-4, 1.0, "kg/m3")
# Factors in m3 for m1, m2, m3: general, and mildly flammable (class 2L).
GENERAL_FACTORS = (4.0, 26.0, 130.0)
MILD_FACTORS = (6.0, 52.0, 260.0)


def charge_limits(lfl: float, mild: bool) -> tuple[float, float, float]:
    """The three charge limits m1, m2, m3 [kg]: factor x LFL.

    m1, m2, m3 = 4, 26, 130 m3 x LFL, for class 2L 6, 52, 260 m3 x LFL. Up to m1 no room
    limit; to m2 by room area; to m3 with more measures; above m3 outside the standard.

    Args:
        lfl: lower flammable limit, 0.02 to 0.6 [kg/m3]; its basis belongs beside it.
        mild: True for class 2L (A2L, B2L).

    Raises:
        OutOfRange: lfl outside the range.

    Source: IEC 60335-2-40:2018 Annex GG (6 x LFL seen by number, the others from memory).

    >>> [round(m, 2) for m in charge_limits(0.307, True)]  # R-32
    [1.84, 15.96, 79.82]
    """
    limit = guard("lower flammable limit", lfl, LOWER_FLAMMABLE_LIMIT)
    m1, m2, m3 = MILD_FACTORS if mild else GENERAL_FACTORS
    return m1 * limit, m2 * limit, m3 * limit


def release_height(install_height: float, offset: float) -> float:
    """Height the charge formulas use [m]: h0 = install height + release offset, >= 0.6.

    Args:
        install_height: of the unit's underside, 0 to 5 [m]; reference 0.0 or 0.6 floor,
            1.0 window, 1.8 wall, 2.2 ceiling.
        offset: from there to where it would leak out, 0 to 1 [m].

    Raises:
        OutOfRange: an argument outside its range.

    Source: IEC 60335-2-40:2018 GG.2 (seen).

    >>> release_height(0.0, 0.2)
    0.6
    """
    height = guard("install height", install_height, INSTALL_HEIGHT)
    return max(RELEASE_HEIGHT.low, height + guard("offset", offset, OFFSET))


def largest_charge(lfl: float, height: float, area: float) -> float:
    """Largest charge for an unventilated room [kg].

    min(2.5 LFL^(5/4) h0 A^(1/2), 0.75 LFL h0 A). A maximum: round down. A charge up to m1
    needs no room limit.

    Args:
        lfl: 0.02 to 0.6 [kg/m3].
        height: h0 from `release_height`, 0.6 to 5 [m].
        area: floor of the room, 0.1 to 10 000 [m2].

    Raises:
        OutOfRange: an argument outside its range.

    Source: IEC 60335-2-40:2018 GG.2 (seen).

    >>> round(largest_charge(0.307, 0.6, 20.0), 3)
    1.533
    """
    limit, h0 = _room(lfl, height)
    floor = guard("area", area, AREA)
    return min(2.5 * math.pow(limit, 1.25) * h0 * math.sqrt(floor), 0.75 * limit * h0 * floor)


def least_area(charge: float, lfl: float, height: float) -> float:
    """Least floor area of an unventilated room for a charge [m2].

    max((m / (2.5 LFL^(5/4) h0))^2, m / (0.75 LFL h0)). A minimum: round up.

    Args:
        charge: 0.001 to 1000 [kg].
        lfl: 0.02 to 0.6 [kg/m3].
        height: h0 from `release_height`, 0.6 to 5 [m].

    Raises:
        OutOfRange: an argument outside its range.

    Source: IEC 60335-2-40:2018 GG.2 (seen).

    >>> round(least_area(2.30, 0.307, 0.6), 1)
    45.0
    """
    limit, h0 = _room(lfl, height)
    mass = guard("charge", charge, CHARGE)
    root = mass / (2.5 * math.pow(limit, 1.25) * h0)
    return max(root * root, mass / (0.75 * limit * h0))


def concentration_limit_charge(room_volume: float, limit: float) -> float:
    """Charge that makes a refrigerant concentration limit in a room [kg]: RCL x V.

    Args:
        room_volume: of the least space it could leak into, 0.1 to 1 000 000 [m3].
        limit: refrigerant concentration limit, 0.0001 to 1 [kg/m3].

    Raises:
        OutOfRange: an argument outside its range.

    Source: ASHRAE 34 (limits) and 15 (their use), from memory.

    >>> round(concentration_limit_charge(50.0, 0.42), 1)  # R-410A
    21.0
    """
    volume = guard("room volume", room_volume, ROOM_VOLUME)
    return volume * guard("concentration limit", limit, CONCENTRATION)


def _room(lfl: float, height: float) -> tuple[float, float]:
    return (
        guard("lower flammable limit", lfl, LOWER_FLAMMABLE_LIMIT),
        guard("release height", height, RELEASE_HEIGHT),
    )
