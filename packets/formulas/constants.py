"""Exact unit definitions the formulas state their published limits in.

Nothing is converted here; `packets.quantities` reads and prints units. These constants let a
rule that is written in inches of mercury or pounds stand in SI beside its source.

Sources: pound, inch, standard gravity and atmosphere by definition (NIST SP 811, from memory);
molar gas constant CODATA 2018 (exact).
"""

from __future__ import annotations

STANDARD_GRAVITY = 9.80665  # m/s2
ZERO_CELSIUS = 273.15  # K
INCH = 0.0254  # m
FOOT = 12 * INCH  # m
CUBIC_FOOT = FOOT**3  # m3
POUND = 0.45359237  # kg
OUNCE = POUND / 16  # kg
PSI = POUND * STANDARD_GRAVITY / INCH**2  # Pa, 6894.757
STANDARD_ATMOSPHERE = 101325.0  # Pa
# Conventional mercury at 0 C, 13 595.1 kg/m3 (NIST SP 811, from memory).
MM_HG = 13595.1 * STANDARD_GRAVITY / 1000  # Pa, 133.3224
IN_HG = 25.4 * MM_HG  # Pa, 3386.389
MICRON = MM_HG / 1000  # Pa, 0.1333224
GAS_CONSTANT = 8.31446261815324  # J/(mol K)
YEAR = 365.25 * 86400.0  # s
HOUR = 3600.0  # s
