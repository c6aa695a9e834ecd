"""Refrigerant recovery: the level to reach before opening, by the rule's table, and the time.

Source: 40 CFR 82.156(a) Table 1 and 82.152 (definitions). The table is the published one
(seen in a copy of the rule); examples and small-appliance rules are tagged where they stand.
The rule in force at the site, and the equipment maker, govern.
"""

from __future__ import annotations

from dataclasses import dataclass

from packets.formulas.constants import IN_HG, MM_HG, POUND, PSI
from packets.formulas.ranges import Range, guard

CHARGE = Range(1e-3, 1e5, "kg")
PRESSURE = Range(1.0, 2e7, "Pa absolute")
ATMOSPHERE = Range(4.5e4, 1.1e5, "Pa absolute")
FRACTION = Range(0.0, 1.0, "of the mass")
RATE = Range(1e-6, 10.0, "kg/s")
UNCERTAINTY = Range(0.0, 0.1, "of the pressure")

CATEGORIES = ("low", "medium", "high", "very-high")
TABLE_REFERENCE = 29.9 * IN_HG  # Pa: the table's vacuums are "relative to 29.9 in. Hg"
REFERENCE_DIGIT = 0.05 * IN_HG  # Pa: half the last digit that reference is printed to
CHARGE_LIMIT = 200 * POUND  # kg, "200 pounds"

# 40 CFR 82.152: liquid-phase saturation pressure at 104 F (40 C), Pa absolute.
LOW_BELOW = 45 * PSI
MEDIUM_UP_TO = 170 * PSI
HIGH_UP_TO = 355 * PSI

# 40 CFR 82.156(b). 90 and 80 % seen in a textbook excerpt; 4 in. Hg and the older machine's
# 80 % from memory.
SMALL_APPLIANCE_CHARGE = 5 * POUND  # kg, factory sealed (82.152)
SMALL_APPLIANCE_LEVEL = TABLE_REFERENCE - 4 * IN_HG  # Pa absolute


@dataclass(frozen=True)
class Level:
    """One row of Table 1: the vacuum as printed and the absolute pressure it means."""

    category: str
    at_least: float  # kg of full charge this row starts at
    below: float  # kg it ends before
    older_machine: float  # Pa absolute, recovery machine made before 15 Nov 1993
    newer_machine: float  # Pa absolute, made on or after 15 Nov 1993
    older_printed: str
    newer_printed: str


def _row(category: str, at_least: float, below: float, older: float, newer: float) -> Level:
    return Level(
        category,
        at_least,
        below,
        TABLE_REFERENCE - older * IN_HG,
        TABLE_REFERENCE - newer * IN_HG,
        f"{older:g} in. Hg vacuum",
        f"{newer:g} in. Hg vacuum",
    )


_ANY = float("inf")
_LOW_LEVEL = 25 * MM_HG
_LOW_PRINTED = "25 mm Hg absolute"

# 40 CFR 82.156(a) Table 1. One agency web copy printed 10 for the medium-pressure row of
# 200 lb and more; the Code of Federal Regulations has 15, and it governs.
TABLE_1: tuple[Level, ...] = (
    _row("very-high", 0.0, _ANY, 0, 0),
    _row("high", 0.0, CHARGE_LIMIT, 0, 0),
    _row("high", CHARGE_LIMIT, _ANY, 4, 10),
    _row("medium", 0.0, CHARGE_LIMIT, 4, 10),
    _row("medium", CHARGE_LIMIT, _ANY, 4, 15),
    Level("low", 0.0, _ANY, _LOW_LEVEL, _LOW_LEVEL, _LOW_PRINTED, _LOW_PRINTED),
)


def table_row(category: str, charge_kg: float) -> Level:
    """The row of Table 1 for a pressure category and the full charge [kg].

    Raises:
        OutOfRange: charge outside 0.001 to 100 000 kg.
        ValueError: a category that is not one of `CATEGORIES`.

    Source: 40 CFR 82.156(a) Table 1 (seen).

    >>> table_row("medium", 100.0).newer_printed
    '15 in. Hg vacuum'
    """
    charge = guard("charge", charge_kg, CHARGE)
    for row in TABLE_1:
        if row.category == category and row.at_least <= charge < row.below:
            return row
    raise ValueError(f"pressure category {category!r} is not one of {', '.join(CATEGORIES)}")


def required_level(
    category: str, charge_kg: float, machine_made_on_or_after_1993_11_15: bool
) -> float:
    """Pressure to reach before opening a machine or an isolated part [Pa absolute].

    A table, no equation; vacuums are taken from 29.9 in. Hg. The column goes by the date the
    *recovery machine* was made, not the appliance. Not for small appliances and not for
    vehicle air conditioning.

    Args:
        category: `low`, `medium`, `high` or `very-high`, see `pressure_category`.
        charge_kg: full charge of the appliance or isolated part, 0.001 to 100 000 [kg].
        machine_made_on_or_after_1993_11_15: date of make of the recovery machine.

    Raises:
        OutOfRange, ValueError: as `table_row`.

    Source: 40 CFR 82.156(a) Table 1 (seen).

    >>> round(required_level("high", 6.6, True) / 1000, 1)  # 14 lb 8 oz: 0 in. Hg
    101.3
    >>> round(required_level("medium", 100.0, True) / 1000, 1)  # 15 in. Hg
    50.5
    """
    row = table_row(category, charge_kg)
    return row.newer_machine if machine_made_on_or_after_1993_11_15 else row.older_machine


def pressure_category(p_sat_104f: float | None) -> str:
    """Pressure category of a refrigerant from its saturation pressure at 104 F (40 C).

    low < 45 psia <= medium <= 170 psia < high <= 355 psia < very high. A pressure exactly on
    a limit goes to the side with the deeper recovery level. A category the rule or the agency
    names for a refrigerant comes before this figure; near a limit ask `near_category_limit`.

    Args:
        p_sat_104f: liquid-phase saturation pressure [Pa absolute], 1 Pa to 20 MPa; None if
            the critical temperature is below 104 F (very high by definition).

    Raises:
        OutOfRange: pressure outside the range.

    Source: 40 CFR 82.152 (low, high seen; medium, very high in secondary copies).

    >>> pressure_category(147 * 6894.757)  # R-134a
    'medium'
    """
    if p_sat_104f is None:
        return "very-high"
    pressure = guard("saturation pressure at 104 F", p_sat_104f, PRESSURE)
    if pressure < LOW_BELOW:
        return "low"
    if pressure <= MEDIUM_UP_TO:
        return "medium"
    return "high" if pressure <= HIGH_UP_TO else "very-high"


def near_category_limit(p_sat_104f: float, uncertainty: float = 0.02) -> bool:
    """True if a category limit lies within the pressure's uncertainty.

    |p - limit| <= u p for one of 45, 170, 355 psia. R-410A (352 psia) and R-32 (359 psia)
    both are: their category must come from the rule or the agency, not from arithmetic.

    Args:
        p_sat_104f: saturation pressure at 104 F [Pa absolute], 1 Pa to 20 MPa.
        uncertainty: share of the pressure, 0 to 0.1 [-].

    Raises:
        OutOfRange: an argument outside its range.

    Source: computed; the limits from 40 CFR 82.152.

    >>> near_category_limit(359 * 6894.757), near_category_limit(222 * 6894.757)
    (True, False)
    """
    pressure = guard("saturation pressure at 104 F", p_sat_104f, PRESSURE)
    share = guard("uncertainty", uncertainty, UNCERTAINTY)
    limits = (LOW_BELOW, MEDIUM_UP_TO, HIGH_UP_TO)
    return any(abs(pressure - limit) <= share * pressure for limit in limits)


def local_gauge_reading(p_abs: float, p_atm: float) -> float:
    """What a gauge zeroed at the site reads at an absolute pressure [Pa], negative = vacuum.

    p_gauge = p_abs - p_atm. The table's vacuums are against 29.9 in. Hg, so at altitude the
    gauge shows less vacuum for the same level. A positive result (a "0 in. Hg" level high
    up) is not leave to open under pressure: see `reading_before_opening`.

    Args:
        p_abs: level [Pa absolute], 1 Pa to 20 MPa.
        p_atm: barometric pressure at the site, 45 to 110 kPa [Pa absolute].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition of gauge pressure.

    >>> level = required_level("medium", 100.0, True)  # 15 in. Hg
    >>> round(local_gauge_reading(level, 84_307.0) / 3386.389, 1)  # 5,000 ft, in. Hg
    -10.0
    """
    return guard("pressure", p_abs, PRESSURE) - guard("barometer", p_atm, ATMOSPHERE)


def reading_before_opening(p_abs: float, p_atm: float) -> float:
    """The gauge reading [Pa] at or below which a level is met and no gas blows out on opening.

    min(p_abs - p_atm + 0.05 in. Hg, 0): the rule's 29.9 is printed no finer, and 29.92 at sea
    level must not turn "0 in. Hg" into a vacuum, nor 10 into 10.5 on a gauge of half inches. A
    level that the rule gives as absolute has no such digit. Arguments, errors and source as
    `local_gauge_reading`.

    >>> level = required_level("high", 6.6, True)
    >>> reading_before_opening(level, 101_325.0), reading_before_opening(level, 84_307.0)
    (0.0, 0.0)
    """
    reading = local_gauge_reading(p_abs, p_atm)
    return min(reading + (REFERENCE_DIGIT if p_abs > _LOW_LEVEL else 0.0), 0.0)


def small_appliance_minimum(
    charge_kg: float, machine_made_on_or_after_1993_11_15: bool, compressor_runs: bool
) -> float:
    """Least mass to recover from a small appliance [kg]; 4 in. Hg vacuum serves instead.

    90 % of the charge with a running compressor and a recovery machine made on or after
    15 Nov 1993, else 80 %. The other way to comply is `SMALL_APPLIANCE_LEVEL`.

    Args:
        charge_kg: factory-sealed charge, 0.001 kg to 5 lb (2.268 kg) [kg].
        machine_made_on_or_after_1993_11_15: date of make of the recovery machine.
        compressor_runs: whether the appliance's compressor works.

    Raises:
        OutOfRange: a charge that is not a small appliance's.

    Source: 40 CFR 82.156(b); 90/80 % seen in a textbook excerpt, the rest from memory.

    >>> round(small_appliance_minimum(0.2, True, False), 3)
    0.16
    """
    limits = Range(CHARGE.low, SMALL_APPLIANCE_CHARGE, "kg")
    charge = guard("small-appliance charge", charge_kg, limits)
    share = 0.9 if machine_made_on_or_after_1993_11_15 and compressor_runs else 0.8
    return share * charge


def recovery_time(
    mass: float, liquid_fraction: float, liquid_rate: float, vapor_rate: float
) -> float:
    """Time to recover a charge, part as liquid and the rest as vapor [s].

    t = m f / q_liquid + m (1 - f) / q_vapor. Rates are the machine's ratings: cold weather,
    small hoses and cores left in make it longer, so the result is a planning figure.

    Args:
        mass: refrigerant to recover, 0.001 to 100 000 [kg].
        liquid_fraction: share that comes out as liquid, 0 to 1 [-].
        liquid_rate: machine's liquid rate, 1e-6 to 10 [kg/s].
        vapor_rate: machine's vapor rate, 1e-6 to 10 [kg/s].

    Raises:
        OutOfRange: an argument outside its range.

    Source: conservation of mass.

    >>> lb = 0.45359237
    >>> round(recovery_time(14.5 * lb, 0.75, 6 * lb / 60, 0.5 * lb / 60) / 60, 2)  # minutes
    9.06
    """
    guard("mass", mass, CHARGE)
    share = guard("liquid fraction", liquid_fraction, FRACTION)
    liquid = guard("liquid rate", liquid_rate, RATE)
    vapor = guard("vapor rate", vapor_rate, RATE)
    return mass * (share / liquid + (1.0 - share) / vapor)
