"""Barometric pressure from altitude, by the standard atmosphere."""

from __future__ import annotations

from packets.formulas.constants import STANDARD_ATMOSPHERE
from packets.formulas.ranges import Range, guard

ALTITUDE = Range(-5000.0, 11000.0, "m")
"""Where `pressure_at_altitude` holds: the lowest layer, of even lapse (limits from memory)."""


def pressure_at_altitude(altitude_m: float) -> float:
    """Barometric pressure [Pa, absolute] of the standard atmosphere at an altitude [m].

    p = 101325 (1 - 2.25577e-5 Z)^5.2559, Z above sea level.

    Range: `ALTITUDE`. The weather moves the true pressure by some 3 % either way (common
    practice, no source), so a barometer on site wins over this figure.
    Source: ICAO / US Standard Atmosphere, as in ASHRAE Handbook Fundamentals (2017),
    chapter 1, equation 3.

    >>> round(pressure_at_altitude(1524.0))  # 5,000 ft
    84307

    Raises:
        OutOfRange: an altitude outside `ALTITUDE`, NaN or infinity.
    """
    altitude = guard("altitude", altitude_m, ALTITUDE)
    return float(STANDARD_ATMOSPHERE * (1.0 - 2.25577e-5 * altitude) ** 5.2559)
