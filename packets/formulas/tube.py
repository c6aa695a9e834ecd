"""Copper tube: rated internal working pressure and inside dimensions.

Source: CDA Copper Tube Handbook (formula and allowable stresses after ASME B31, seen), tube
to ASTM B280. A brazed joint anneals the tube beside it, so drawn tube that is brazed has the
annealed rating (same source, seen).
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence

from packets.formulas.ranges import Range, guard

OUTSIDE_DIAMETER = Range(2e-3, 0.12, "m")
WALL = Range(2e-4, 6e-3, "m")
TOLERANCE = Range(0.0, 1e-3, "m")
BORE = Range(2e-4, 0.12, "m")
LENGTH = Range(0.0, 1000.0, "m")
STRESS = Range(1e6, 1e8, "Pa")
# ASME B31 tables give one stress from the lowest use temperature to 100 F (from memory).
METAL = Range(200.0, 600.0, "K")


def allowable_stress(temperature: float, points: Sequence[tuple[float, float]]) -> float:
    """Allowable stress at a metal temperature, straight lines between the table's points [Pa].

    Below the first point the first stress holds; above the last the table says nothing.

    Args:
        temperature: metal temperature, 200 K to the table's last point [K].
        points: (temperature [K], stress [Pa]), two or more, temperatures rising.

    Raises:
        OutOfRange: temperature outside the table, or a point that is not a tube's.
        ValueError: fewer than two points, or temperatures that do not rise.

    Source: CDA Copper Tube Handbook Table 3c (the points; straight lines between them are
    the usual reading of ASME B31 stress tables, from memory).

    >>> annealed = [(310.93, 41.37e6), (338.71, 35.16e6), (366.48, 33.78e6)]
    >>> round(allowable_stress(324.82, annealed) / 1e6, 2)
    38.27
    """
    temperatures = [guard("table temperature", point[0], METAL) for point in points]
    stresses = [guard("table stress", point[1], STRESS) for point in points]
    if len(points) < 2 or any(b <= a for a, b in itertools.pairwise(temperatures)):
        raise ValueError("stress table wants two or more points with rising temperatures")
    t = guard("metal temperature", temperature, Range(METAL.low, temperatures[-1], "K"))
    if t <= temperatures[0]:
        return stresses[0]
    upper = next(i for i, known in enumerate(temperatures) if t <= known)
    share = (t - temperatures[upper - 1]) / (temperatures[upper] - temperatures[upper - 1])
    return stresses[upper - 1] + share * (stresses[upper] - stresses[upper - 1])


def rated_pressure(
    outside_diameter: float,
    wall: float,
    stress: float,
    *,
    over_diameter: float,
    under_wall: float,
) -> float:
    """Rated internal working pressure of a tube [Pa gauge].

    P = 2 S t / (D - 0.8 t), with t the least wall and D the largest outside diameter that
    the tolerances allow. A maximum: round down.

    Args:
        outside_diameter: D nominal, 2 to 120 mm [m].
        wall: t nominal, 0.2 to 6 mm and under half of D [m].
        stress: allowable stress S at the metal temperature, 1 to 100 MPa [Pa].
        over_diameter: how much larger D may be, 0 to 1 mm [m].
        under_wall: how much thinner t may be, 0 to 1 mm [m].

    Raises:
        OutOfRange: an argument outside its range, or a wall that isn't a tube's.

    Source: CDA Copper Tube Handbook after ASME B31, t min, D max, C = 0 (seen).

    >>> inch, psi = 0.0254, 6894.757
    >>> p = rated_pressure(0.875 * inch, 0.045 * inch, 5100 * psi,
    ...                    over_diameter=0.0025 * inch, under_wall=0.004 * inch)
    >>> round(p / psi)  # 7/8 in. at 150 F
    495
    """
    d = guard("outside diameter", outside_diameter, OUTSIDE_DIAMETER)
    t = guard("wall", wall, Range(WALL.low, min(WALL.high, 0.45 * d), "m"))
    d_max = d + guard("diameter tolerance", over_diameter, TOLERANCE)
    t_min = t - guard("wall tolerance", under_wall, Range(0.0, 0.5 * t, "m"))
    return 2.0 * guard("stress", stress, STRESS) * t_min / (d_max - 0.8 * t_min)


def bore(outside_diameter: float, wall: float) -> float:
    """Inside diameter [m]: D - 2 t, nominal.

    Args:
        outside_diameter: 2 to 120 mm [m].
        wall: 0.2 to 6 mm and under half of D [m].

    Raises:
        OutOfRange: an argument outside its range.

    Source: geometry.

    >>> round(bore(9.525e-3, 0.8128e-3) * 1e3, 2)  # 3/8 in., mm
    7.9
    """
    d = guard("outside diameter", outside_diameter, OUTSIDE_DIAMETER)
    t = guard("wall", wall, Range(WALL.low, min(WALL.high, 0.45 * d), "m"))
    return d - 2.0 * t


def volume(bore_diameter: float, length: float) -> float:
    """Volume inside a length of tube [m3]: pi/4 d2 L.

    Args:
        bore_diameter: inside diameter, 0.2 to 120 mm [m].
        length: 0 to 1000 [m].

    Raises:
        OutOfRange: an argument outside its range.

    Source: geometry.

    >>> round(volume(26.04e-3, 12.8) * 1000, 2)  # 42 ft of 1-1/8 in., litres
    6.82
    """
    d = guard("bore", bore_diameter, BORE)
    return math.pi / 4.0 * d * d * guard("length", length, LENGTH)
