"""How large a leak a pressure change means, and how long a test must last to see one.

For a hold test and for a vacuum rise alike: Q = V dp / t (seen in vacuum texts).
"""

from __future__ import annotations

from packets.formulas.constants import GAS_CONSTANT, STANDARD_ATMOSPHERE
from packets.formulas.ranges import Range, guard

VOLUME = Range(1e-6, 10.0, "m3")
PRESSURE_CHANGE = Range(0.0, 1e7, "Pa")
SEEN_CHANGE = Range(1e-3, 1e7, "Pa")
DURATION = Range(1.0, 1e7, "s")
LEAK = Range(0.0, 1e3, "Pa m3/s")
STATED_LEAK = Range(1e-12, 1e3, "Pa m3/s")
MASS_RATE = Range(1e-16, 1.0, "kg/s")
MOLAR_MASS = Range(2e-3, 0.3, "kg/mol")
TEMPERATURE = Range(230.0, 360.0, "K")
OUTSIDE = Range(1e4, 1.2e5, "Pa absolute")
INSIDE = Range(1e4, 1e7, "Pa absolute")


def leak_from_drop(volume: float, pressure_change: float, duration: float) -> float:
    """Leak that makes a pressure change in a volume, at constant temperature [Pa m3/s].

    Q = V dp / t. With half of the band that the instruments' errors leave, this is the leak that
    shows when they read true; with the whole band, the one that shows however they are off.

    Args:
        volume: gas volume under test, 1 mL to 10 m3 [m3].
        pressure_change: drop (or vacuum rise), 0 to 10 MPa [Pa].
        duration: 1 to 1e7 [s].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition of a leak rate (seen in vacuum texts).

    >>> q = leak_from_drop(0.9 * 0.0283168, 6894.757, 3600.0)  # 0.9 ft3, 1 psi in 1 h
    >>> round(as_atm_cc_per_s(q), 2)
    0.48
    """
    change = guard("pressure change", pressure_change, PRESSURE_CHANGE)
    return guard("volume", volume, VOLUME) * change / guard("duration", duration, DURATION)


def hold_time(volume: float, pressure_change: float, leak: float) -> float:
    """Time a hold must last so that a stated leak makes a visible change [s].

    t = V dp / Q. A minimum: round up. The leak is taken constant over so small a change.

    Args:
        volume: gas volume under test, 1 mL to 10 m3 [m3].
        pressure_change: smallest change the instruments can tell, 0.001 Pa to 10 MPa [Pa].
        leak: leak to be seen, 1e-12 to 1000 [Pa m3/s].

    Raises:
        OutOfRange: an argument outside its range.

    Source: definition of a leak rate.

    >>> round(hold_time(0.9 * 0.0283168, 6894.757, 0.0488086))
    3600
    """
    change = guard("pressure change", pressure_change, SEEN_CHANGE)
    return guard("volume", volume, VOLUME) * change / guard("leak", leak, STATED_LEAK)


def as_atm_cc_per_s(leak: float) -> float:
    """A leak rate in atm cc/s: Q / 0.101325 Pa m3.

    Args:
        leak: 0 to 1000 [Pa m3/s].

    Raises:
        OutOfRange: leak outside its range.

    Source: definition of the unit.

    >>> as_atm_cc_per_s(0.101325)
    1.0
    """
    return guard("leak", leak, LEAK) / (STANDARD_ATMOSPHERE * 1e-6)


def as_refrigerant(leak: float, molar_mass: float, temperature: float) -> float:
    """Mass rate of a gas that leaks at the same Pa m3/s [kg/s]: Q M / (R T).

    An order of magnitude: nitrogen at test pressure and refrigerant in service do not drive
    the same hole alike. Multiply by `constants.YEAR` for kg a year.

    Args:
        leak: 0 to 1000 [Pa m3/s].
        molar_mass: of the refrigerant, 0.002 to 0.3 [kg/mol].
        temperature: of the gas, 230 to 360 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: ideal gas law.

    >>> lb_per_year = as_refrigerant(0.0488086, 0.0863, 294.0) * 31557600 / 0.45359237
    >>> round(lb_per_year, -1)  # 1 psi in 1 h from 0.9 ft3: of the order of 100 lb/yr
    120.0
    """
    molar = guard("molar mass", molar_mass, MOLAR_MASS)
    t = guard("temperature", temperature, TEMPERATURE)
    return guard("leak", leak, LEAK) * molar / (GAS_CONSTANT * t)


def leak_of_mass(mass_rate: float, molar_mass: float, temperature: float) -> float:
    """The leak rate of a mass rate [Pa m3/s]: q R T / M, the inverse of `as_refrigerant`.

    Args:
        mass_rate: 1e-16 to 1 [kg/s].
        molar_mass: 0.002 to 0.3 [kg/mol].
        temperature: 230 to 360 [K].

    Raises:
        OutOfRange: an argument outside its range.

    Source: ideal gas law.

    >>> round(leak_of_mass(as_refrigerant(0.05, 0.0863, 294.0), 0.0863, 294.0), 6)
    0.05
    """
    molar = guard("molar mass", molar_mass, MOLAR_MASS)
    t = guard("temperature", temperature, TEMPERATURE)
    return guard("mass rate", mass_rate, MASS_RATE) * GAS_CONSTANT * t / molar


def vacuum_leak_in_service(leak: float, outside: float, inside: float) -> float:
    """What a leak that lets air into a vacuum lets out of the machine under pressure [Pa m3/s].

    Q2 / Q1 = (p_inside^2 - p_outside^2) / p_outside^2: gas that flows slowly through a narrow
    leak goes with the difference of the squares of the pressures at its ends. The most it can be:
    a leak as short as it is wide goes with the pressure itself, p_inside / p_outside. Refrigerant
    vapor is less viscous than air, which is left out (up to half more).

    Args:
        leak: air into a vacuum, 0 to 1000 [Pa m3/s].
        outside: air pressure, 10 to 120 kPa [Pa absolute].
        inside: pressure in service, 10 kPa to 10 MPa and above the air's [Pa absolute].

    Raises:
        OutOfRange: an argument outside its range, or a machine that is not under pressure.

    Source: laminar flow of a gas in a capillary (Hagen and Poiseuille); that leaks of this size
    follow it stands in leak-testing handbooks, from memory.

    >>> round(vacuum_leak_in_service(1e-4, 1.0e5, 10.0e5), 4)  # 1 to 10 bar: 99 times
    0.0099
    """
    air = guard("air pressure", outside, OUTSIDE)
    service = guard("pressure in service", inside, Range(air, INSIDE.high, INSIDE.unit))
    return guard("leak", leak, LEAK) * (service**2 - air**2) / air**2


def hold_loss(rise: float, stand: float, hold: float, outside: float, inside: float) -> float:
    """Least pressure that a hold loses by the leak that lets a vacuum climb [Pa].

    dp = rise x (hold / stand) x (p_inside / p_outside). The volume falls out, for both tests are of
    the same machine. The least it can be: a leak as short as it is wide, whose flow goes with the
    pressure before it; a long one goes with the squares and loses more.

    Args:
        rise: climb of the vacuum, 0 to 10 MPa [Pa].
        stand: in this time, 1 to 1e7 [s].
        hold: duration of the hold, 1 to 1e7 [s].
        outside: air pressure, 10 to 120 kPa [Pa absolute].
        inside: pressure of the hold, 10 kPa to 10 MPa and above the air's [Pa absolute].

    Raises:
        OutOfRange: an argument outside its range, or a hold that is not under pressure.

    Source: Q = V dp / t at both ends; that a short leak's flow is choked, from memory.

    >>> round(hold_loss(66.7, 900.0, 3600.0, 1e5, 11.35e5))  # 500 micron in 15 min, a hold of 1 h
    3028
    """
    air = guard("air pressure", outside, OUTSIDE)
    held = guard("pressure of the hold", inside, Range(air, INSIDE.high, INSIDE.unit))
    times = guard("hold", hold, DURATION) / guard("stand", stand, DURATION)
    return guard("rise", rise, PRESSURE_CHANGE) * times * held / air
