"""Filler metal to load: from the Handbook's consumption a joint to rods on the van.

Source: CDA Copper Tube Handbook Table 14.11 (seen): length or mass of filler a joint, for
two-thirds cup penetration and no fillet, by *nominal water size*; real use may be 2 to 3 times
that (same note). The table itself is `tables/filler_consumption.yaml`.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

from packets.formulas.constants import INCH
from packets.formulas.ranges import Range, guard

OUTSIDE_DIAMETER = Range(2e-3, 0.12, "m")
NOMINAL_SIZE = Range(0.0, 0.12, "m")
LENGTH = Range(0.0, 5.0, "m a joint")
MASS = Range(0.0, 0.1, "kg a joint")
FACTOR = Range(1.0, 5.0, "times the table")
ROD = Range(0.05, 2.0, "m")
TOTAL = Range(0.0, 1e3, "m")


def nominal_water_size(outside_diameter: float) -> float:
    """Nominal (water) size of refrigeration tube named by its outside diameter [m].

    OD - 1/8 in. The tube of 1-1/8 in. outside diameter is nominal 1 in.

    Args:
        outside_diameter: 3.2 to 120 mm [m].

    Raises:
        OutOfRange: diameter outside the range.

    Source: CDA Copper Tube Handbook, tube dimensions (ASTM B88, from memory).

    >>> round(nominal_water_size(1.125 * 0.0254) / 0.0254, 3)
    1.0
    """
    limits = Range(INCH / 8, OUTSIDE_DIAMETER.high, "m")
    return guard("outside diameter", outside_diameter, limits) - INCH / 8


def listed_size(nominal: float, listed: Sequence[float]) -> float:
    """The table's size to use for a nominal size: the same or the next larger one [m].

    A size between two rows, or under the smallest, takes the larger row: more is loaded.

    Args:
        nominal: 0 to 120 mm [m].
        listed: sizes of the table, 0 to 120 mm each [m].

    Raises:
        OutOfRange: a size outside its range, or above the table's largest.

    Source: reading rule, safe side.

    >>> listed_size(3e-3, [6e-3, 9e-3])
    0.006
    """
    sizes = sorted(guard("listed size", size, NOMINAL_SIZE) for size in listed)
    largest = sizes[-1] if sizes else 0.0
    wanted = guard("nominal size", nominal, Range(0.0, largest * (1 + 1e-9), "m"))
    return next(size for size in sizes if size * (1 + 1e-9) >= wanted)


def filler_length(per_joint: Iterable[float], factor: float) -> float:
    """Filler to load for a list of joints [m]: factor x sum of the table's lengths.

    Args:
        per_joint: table length of each joint, 0 to 5 [m].
        factor: 2 to 3 by the table's own note, 1 to 5 taken [-].

    Raises:
        OutOfRange: an argument outside its range.

    Source: CDA Copper Tube Handbook Table 14.11 (seen).

    >>> inch = 0.0254
    >>> total = filler_length([3.5 * inch, 3.5 * inch, 0.625 * inch], 3)  # 1/16 in. wire
    >>> round(total / inch, 1)
    22.9
    """
    times = guard("factor", factor, FACTOR)
    return times * math.fsum(guard("filler a joint", length, LENGTH) for length in per_joint)


def filler_mass(per_joint: Iterable[float], factor: float) -> float:
    """Filler to load for a list of joints by mass [kg]: factor x sum of the table's masses.

    Args:
        per_joint: table mass of each joint (a hundredth of the mass a hundred joints),
            0 to 0.1 [kg].
        factor: 2 to 3 by the table's own note, 1 to 5 taken [-].

    Raises:
        OutOfRange: an argument outside its range.

    Source: CDA Copper Tube Handbook Table 14.11 (seen).

    >>> lb = 0.45359237
    >>> round(filler_mass([0.0032 * lb] * 4, 3) * 1000, 1)  # four 1-1/8 in. joints, g
    17.4
    """
    times = guard("factor", factor, FACTOR)
    return times * math.fsum(guard("filler a joint", mass, MASS) for mass in per_joint)


def rods_to_load(length: float, rod_length: float, stub: float) -> int:
    """Whole rods for a length: ceil(length / (rod - stub)).

    Args:
        length: filler needed, 0 to 1000 [m].
        rod_length: 0.05 to 2 [m].
        stub: end too short to hold, thrown away, 0 to half a rod [m].

    Raises:
        OutOfRange: an argument outside its range.

    Source: arithmetic.

    >>> rods_to_load(0.60, 0.50, 0.05)
    2
    """
    rod = guard("rod length", rod_length, ROD)
    wasted = guard("stub", stub, Range(0.0, rod / 2, "m"))
    return math.ceil(guard("filler length", length, TOTAL) / (rod - wasted))
